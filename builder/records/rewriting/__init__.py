"""Changes to many entries at once, worked out whole before anything is written.

entry_changes  which files a change writes, moves and deletes, and what stands in its way
address_list   the text of removed.toml, block by block
renaming       a mask or a part gets another id
splitting      a mask becomes one for each of its sizes
withdrawing    a wearer's or a contributor's tests go, and so do their names
joining        two spellings of one wearer become one
"""
