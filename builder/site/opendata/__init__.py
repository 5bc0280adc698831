"""The open data: the figures behind the pages as tables, in files that other programs read.

tables      which tables there are, and what each column holds
formats     a table as CSV, JSON and Parquet
about       title, licence and citation, for people and for catalogues
descriptor  the Data Package that describes the files
files       all files of the open data, for the site and for `sealbook export` alike
"""
