"""What a pull request changes: in the entries, in the published figures, and what looks odd about it.

git         git, started so that it runs no program of a branch
work_tree   the entries on disk, told apart as git does it, without git
revisions   the git revisions that are compared; nothing here changes the work tree
states      the entries before and after, and the records that differ
changes     new, changed and removed records, key by key
moves       published figures that differ
known_before  what was known of each new test, by whose hand it is, which published ones say something else now
oddities    new tests that lie far from what was to be expected
report      all of it together
escaping    text from entries, made harmless for Markdown
report_lines, told_tests, markdown    the report for the page of a pull request
"""
