"""The counter: one page in the browser over a folder of workbooks, on this computer only.

Views are thin callers of :mod:`kitmaker.api`; all that is saved are workbooks and plan folders
that the commands read as well. Flask and its server are loaded by ``kitmaker counter`` alone.
"""
