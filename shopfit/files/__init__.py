"""Reads and writes every file: scenario folders, layouts, tables and schemas."""
