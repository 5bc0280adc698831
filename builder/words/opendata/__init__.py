"""The open data as files that other programs read.

formats     a table as CSV, JSON and Parquet
about       title, licence and citation, for people and for catalogues
descriptor  the Data Package that describes the files
files       all files of the open data, for the site and for `sealbook export` alike
"""
