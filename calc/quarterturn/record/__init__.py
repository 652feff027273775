"""The record: everything a reader enters about a bow, each field declared once."""
