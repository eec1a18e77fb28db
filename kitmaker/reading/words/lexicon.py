"""The words of cutting lines, amounts, notes, titles and headings: a table to read and extend.

A phrase of several words is written as it is said. ``[the]`` may be left out, ``the/your``
is either, ``~`` is up to three words of any kind. Hyphens and gaps are alike: ``sub cut``
is "sub-cut" too. The longest phrase that fits wins over shorter ones and single words.

A word that stands in no row is an open word: a color, a name, a purpose. So a new word
belongs here only if it counts, measures, cuts or puts in doubt. DEVELOPERS.md shows how one
is added, and what tells within a minute what else it changes.
"""

from __future__ import annotations

from fractions import Fraction

from kitmaker.lengths import CENTIMETER
from kitmaker.reading.words.tokens import Kind


def word_set(text: str) -> frozenset[str]:
    """Return the words of a text, to be asked whether a word is among them."""
    return frozenset(text.split())


_FABRIC = "[the/your/this] ~ fabric/cloth/material"

ROUGHLY = "about approximately approx approx. least minimum"
"""What an amount may be, and still is bought as it is stated."""

PHRASES: dict[Kind, str] = {
    Kind.WOF: f"""
        wof; w o f; [across/by] [the] [full/entire] width/with of {_FABRIC} [( wof )]
        [across/by] [the] [full] fabric width; [the/their/across] full width [of the fabric]
        across [the] width; [on/along] the crosswise grain; [on/along] the cross grain
        [from] selvage/selvedge to selvage/selvedge; crosswise [grain]; from the width
        across the ~ fabric; strips width
    """,
    Kind.LOF: f"""
        lof; l o f; [along/down/in/from] [the] [full] length of {_FABRIC}
        [on/from/along/in] [the] lengthwise grain [of fabric]; [on/along] [the] length grain
        lengthways; lengthwise [parallel to the selvage/selvages/selvedge/selvedges]
        lengthwise ( parallel to the selvage/selvages/selvedge/selvedges )
        parallel to/with selvage/selvedge/selvages/selvedges
        parallel with the selvage/selvedge/selvages/selvedges; with the selvage/selvedge
        [(] parallel to the selvage/selvages/selvedge/selvedges [)]
        along the selvage/selvages/selvedge/selvedges; [by] [the] fabric length
        from/along/down the [full] length [of the]
    """,
    Kind.TWICE: """
        [in half] twice on [the/both] diagonal/diagonals [in/to an x]; with an x
        [in half] twice diagonally [in/to] [form] [an x]; twice corner to corner
        [in half] diagonally twice [in/with/to] [form] [an] [x]; on the diagonal twice
        corner to corner twice; on/across/along both [of the] diagonals
        in/into quarters/four/4 [triangles] diagonally; diagonally in/into quarters/four/4
        in/into quarters/four/4 [triangles] on/along/across the/both diagonal/diagonals
        [in half] diagonally [in] both ways/directions; 2 x/times diagonally; 2 x on the diagonal
        quarter/quartered diagonally; quartered on the diagonal/diagonals
    """,
    Kind.ONCE: """
        [in half] once on [the/one/1] diagonal [in/into half/two/2 [pieces]]
        [in half] once diagonally [in/into half/two/2]; once in half diagonally
        [in half] [once] diagonally in/into two/2 triangles
        [in half] diagonally [once] [in/into half/two/2] [pieces]; in 2/two diagonally
        [in half] on/along/across [the/one/1] [of the] diagonal [once] [in/into half/two/2] [pieces]
        [in half] [from/once] [from] corner to [opposite] corner [once]; diagonally , once
        one time on the diagonal; [in half] one time diagonally; 1 x diagonally
        [in half] diagonally one way; halved diagonally; halved on the diagonal
    """,
    Kind.SUB: """
        sub/cross cut/cuts/cutting [down]; subcut/crosscut [down]; subcuts; subcutting; re cut
        crosscutting; recut; cut apart; subdivide; cut up into
    """,
    Kind.TOTAL: """
        [for/to/is/are] [a] [grand] total [of/is]; totaling; totalling; in all; in total; altogether
        all told
    """,
    Kind.SETASIDE: "set aside; hold back; put aside; keep; reserve; reserved; save; saving; "
    "leave; leaving; leave whole; left whole",
    Kind.WHOLE: "[as] whole; uncut; as strips",
    Kind.NOTCUT: """
        do not [yet] cut/subcut [these/them/this/it/any] [yet]
        don't/dont/not/never [yet] cut/subcut [these/them/this/it/any] [yet]
        do not sub cut [these/them/this/it] [yet]; no need to cut
        don't sub cut [these/them/this/it] [yet]
    """,
    Kind.REST: """
        [the] leftover/leftovers/remaining/remainder/rest [of] [the]; the left over/overs
        what is left; the ones left
    """,
    Kind.UNITNAME: """
        half/quarter square [triangle] unit/units/block/blocks
        half/quarter square ~ triangle/triangles
        half/quarter rectangle [triangle/triangles]
        triangle square/squares; four/nine/sixteen patch/patches; 4/9/16 patch/patches
        flying geese; strip set/sets
    """,
    Kind.CUT: "you will/should [also] need to cut; you'll [also] need to cut; you need to cut",
    Kind.NEEDED: """
        you will [only] need; you'll [only] need; you need; you should need; will need [to cut]
        are needed; required; needed; are required; necessary; need
        you will use; you'll use; you will only use; you'll only use; you use
    """,
    Kind.HAVE: """
        [so/then/and] you/this/these/each/they/it [now/should/will/must] [now] have/get/make/makes
        [so/then/and] you/this/these/each/they/it [now/should/will/must] [now] yield/yields/give
        [so/then/and] you/this/these/each/they/it gives
        you'll [now] have/get; [you] end up with; [you] will have; should/will give/yield/make [you]
        giving/gives [you]; to give [you]; to yield/make/get/obtain/form; making; yielding
        resulting in; have; get; i/you got; yield; yields; makes; there should/will be
    """,
    Kind.FOR: "to be [used] [for/as]; will be for",
    Kind.HALF: "in/into half/halves [crosswise/widthwise/lengthwise]",
    Kind.QUARTERS: """
        in/into quarters; in half vertically and horizontally; in half horizontally and vertically
        in half both ways; in half twice
    """,
    Kind.INTO: "into; down to; down into",
    Kind.EACH: "each [one]; every [one]; ea",
    Kind.THESE: "these; those; them; this; it",
    Kind.EXTRA: """
        [are/is/will be] extra/extras/spare/spares/unused; [are/is/will be] left over; to spare
    """,
    Kind.FUSSY: """
        fussy cut; fussy; selectively [cut]
        centered/centering/center [on] [a/the] motif/motifs/design
        motif/motifs centered; feature/featuring a/the motif; centre/center of each/every [one]
        dead/exact centre/center
    """,
    Kind.MULTIPLY: "a pair of; pair of; multiply/multiplied/divide/divides/divided by",
    Kind.ADD: "as well",
    Kind.LESSEN: "all but",
    Kind.OMIT: """
        not needed/required/wanted/counted/included/used; not for this/the; left out; leave out
        do not make/count/use/include/need; don't make/count/use/include/need; no longer
        no need [for]; remove/drop/discard/delete/scratch this/these/it/them/all/row
    """,
    Kind.UNSURE: "to be confirmed/decided; up to",
    Kind.CHOICE: "as desired; as you like; if you like/wish",
    Kind.SAME: "the same; as above; see above; as before; as for; as in",
    Kind.DOUBT: "on the fold; on fold",
    Kind.BORDER: "first/second/third/fourth/last/1st/2nd/3rd/4th border/borders",
    Kind.SEW: "pile/stack [up]; piece end to end; pieced end to end; piece together",
    Kind.OPEN: """
        selvage/selvedge edge; right/wrong side/sides [together/up/down]; seam allowance
        for another project/quilt/use; as is; the same size; long edge/edges/side/sides
        seam allowances; any color/colour; one/two way; as needed; as required
        diagonal seam/seams/line/lines; extra length
        double/single fold; double/single sided; width edge; off the selvage
    """,
    Kind.CLOTH: """
        fat quarter/quarters/eighth/eighths; yardage; fat sixteenth/sixteenths
        long quarter/quarters
    """,
}
"""Phrases of several words, and of one where it has many forms."""

WORDS: dict[Kind, str] = {
    Kind.CUT: "cut cutting cuts slice sliced slices slicing trim-cut",
    Kind.CHOOSE: "choose select pick grab",
    Kind.SEW: """
        sew join joined sewn sewed stitch stitched piece-together baste place attach attached fold
        layer pair fuse arrange lay match pieced
    """,
    Kind.MAKE: "make makes",
    Kind.TRIM: "trim trimmed square-up",
    Kind.DRAW: "press draw mark marking label trace rule pin number discard",
    Kind.SQUARE: "square squares sq sqs sq. sqs. cornerstones cornerstone posts",
    Kind.RECT: "rectangle rectangles rect rects rect. rects. oblongs bricks",
    Kind.STRIP: "strip strips stripes",
    Kind.PIECE: "piece pieces patch patches segment segments pcs pcs. pc lengths length sections",
    Kind.BORDER: "border borders binding bindings",
    Kind.SHAPE: """
        triangle triangles hst hsts hst. qst qsts geese goose hexagon hexagons hexies diamond
        diamonds parallelograms circle circles wedge wedges octagon trapezoid trapezoids kite kites
        parallelogram hearts heart oval clamshell template templates pattern patterns bias
    """,
    Kind.CLOTH: """
        print prints fabric fabrics fq fqs quarter quarters eighth eighths f8s color colors
        colour colours cloth panel solid solids scraps scrap fqs. skinnies fat-quarter
    """,
    Kind.GROUP: """
        block blocks unit units star stars row rows quilt quilts corner corners side sides top
        tops bottom pillow pillows
    """,
    Kind.REST: "leftover leftovers remaining remainder rest",
    Kind.EACH: "each every ea",
    Kind.EXTRA: "extra extras spare spares unused",
    Kind.UNITNAME: "half-square half-squares quarter-square quarter-squares",
    Kind.FROM: "from",
    Kind.OF: "of",
    Kind.FOR: "for",
    Kind.TO: "to",
    Kind.DET: "the your a an my our its",
    Kind.ALL: "all both",
    Kind.AND: "and then also",
    Kind.OR: "or",
    Kind.BY: "by",
    Kind.AS: "as",
    Kind.AT: "à at measuring measure measures that are is will be which in on with being so that's",
    Kind.PER: "per",
    Kind.WIDE: "wide long tall high deep",
    Kind.NEEDS: "needs requires require",
    Kind.YOU: "you you'll i we",
    Kind.NOT: "don't no not never without",
    Kind.FUSSY: "centering centring centered centred isolate isolating motif motifs",
    Kind.FINISHED: "finished finish finishes finishing",
    Kind.UNFINISHED: "unfinished",
    Kind.MULTIPLY: """
        times twice double doubled triple tripled quadruple half halve halves halved thirds
        quartered dozen dozens doz gross pairs prs sets divided
    """,
    Kind.ADD: "more another additional plus too",
    Kind.LESSEN: "minus less fewer except excluding",
    Kind.OMIT: """
        omit omitted skip skipped ignore ignored cancelled canceled void obsolete
    """,
    Kind.UNSURE: f"""
        {ROUGHLY}
        roughly nearly almost most enough few several couple many some any maximum min max tbd
        errata erratum recount mistake
    """,
    Kind.CHOICE: "either instead if unless optional option options method version alternatively",
    Kind.SAME: "same ditto likewise repeat repeats repeated again",
    Kind.DOUBT: """
        other others up reversed mirror but set larger smaller allowance random equal lots groups
        desired diagonal diagonally diagonals quarter-cut half-cut grain across around split
        first last next once third
    """,
}
"""Single words. All other words are open."""

FINAL_USES = ("sash", "strip set", "frame", "binding", "border")
"""What strips are for that are used as they are, and not cut on."""

NARROW_FORMS = {
    **dict.fromkeys(("fat quarter", "fq"), "fat-quarter"),
    **dict.fromkeys(("fat eighth", "f8"), "fat-eighth"),
    "fat sixteenth": "fat-sixteenth",
}
"""Cut cloth that is narrower than the bolt, by its name without an s, and the form's id."""

NOTE_WORDS = word_set(
    """
    measurements measurement yardage yardages seams seam sizes note instructions amounts
    requirements finished
    """
)
"""Words that open a remark about measures in general."""

LABEL_NOUNS = word_set(
    """
    class lesson sheet chapter
    fabric fabrics step steps page pages block blocks border borders row rows unit units fig
    figs figure figures diagram diagrams color colors colour colours round rounds section
    sections template templates part parts label log logs clue clues month months week weeks
    print prints no nos number size bag star stars ring rings position positions piece
    pieces strip-set set sets
    """
)
"""Words before a letter or a number that only names: Border 3, Fabric A, Step 2."""

UNITS: dict[str, Fraction] = {
    **dict.fromkeys(('"', "''", "in", "in.", "ins", "inch", "inches"), Fraction(1)),
    **dict.fromkeys(("cm", "cms", "cm."), CENTIMETER),
    "mm": CENTIMETER / 10,
    **dict.fromkeys(("yd", "yds", "yard", "yards", "yd.", "yds.", "yrd", "yrds"), Fraction(36)),
    **dict.fromkeys(("m", "mtr", "mtrs", "metre", "metres", "meter", "meters"), CENTIMETER * 100),
    **dict.fromkeys(("ft", "feet", "foot"), Fraction(12)),
}
"""Inches in a unit. International yard and pound agreement of 1959: 1 in is 2.54 cm."""

_PARTS = "1/2 1/3 2/3 1/4 3/4 1/5 2/5 3/5 4/5 1/6 5/6 1/8 3/8 5/8 7/8"
VULGAR = {
    sign: Fraction(said) for sign, said in zip("½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞", _PARTS.split(), strict=True)
}
FRACTION_SIGNS = "".join(VULGAR)
"""All of them, to stand in the brackets of a pattern."""

FORMS = {
    **{one: one for one in ("fat quarter", "fat eighth", "long quarter")},
    **{f"{one}s": f"{one}s" for one in ("fat quarter", "fat eighth", "long quarter")},
    **dict.fromkeys(("fq", "fat-quarter", "f¼"), "fat quarter"),
    **dict.fromkeys(("fqs", "fqs.", "fq's", "f¼s"), "fat quarters"),
    **dict.fromkeys(("f⅛", "f⅛s"), "fat eighths"),
}
"""Names of forms as amounts have them, and the form."""

GOODS: dict[Kind, str] = {
    Kind.PACK: """
        pack packs package packages packet packets pkg pkgs bundle bundles roll rolls set sets
        layer layers stack stacks
    """,
    Kind.PANEL: "panel panels",
    Kind.SCRAPS: "scraps scrap equivalent similar",
    Kind.INCLUDES: "includes include included including",
    Kind.ROUGHLY: ROUGHLY,
    Kind.CLOTH: "cloth fabric color colour print material",
    Kind.CLOTHS: "prints fabrics colors colours",
    Kind.WIDE: "width",
    Kind.CUTS: "cuts pieces lengths",
    Kind.CHOICE: "optional",
    Kind.BAD: "quarter quarters eighth eighths @",
}
"""Words of amounts, by what is bought or said of it."""

_TO_NINETEEN = """
    zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen
    sixteen seventeen eighteen nineteen
"""
_BY_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
ONES = {word: number for number, word in enumerate(_TO_NINETEEN.split())}
TENS = {word: 10 * number for number, word in enumerate(_BY_TENS.split(), 2)} | {"fourty": 40}

FRACTION_WORDS = {
    **dict.fromkeys(("half", "halves"), Fraction(1, 2)),
    **dict.fromkeys(("third", "thirds"), Fraction(1, 3)),
    **dict.fromkeys(("quarter", "quarters", "fourth", "fourths"), Fraction(1, 4)),
    **dict.fromkeys(("eighth", "eighths"), Fraction(1, 8)),
}

SIGNS = {
    **dict.fromkeys("“”″‟„＂\u030b", '"'),
    **dict.fromkeys("’‘′", "'"),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("\u00a0\u2009\u202f\u2007\t\n", " "),
    **dict.fromkeys("×✕", "x"),
    **dict.fromkeys("–—−‑‐‒―", "-"),
    **dict.fromkeys("[{", "("),
    **dict.fromkeys("]}", ")"),
}
"""Signs that mean the same, one for one, so that every place stays where it is."""

SIZE_NAMES = word_set(
    """
    crib baby cot toddler lap throw twin single full double queen king small medium large
    """
)
"""Names of a quilt's size: where a text has two of them, its counts are of two quilts."""
