"""From what was read to a draft: tidy rows beside the words they came from, nothing lost."""
