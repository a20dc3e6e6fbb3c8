"""The trade's arithmetic on plain values. No Django, rows, clock, files, pages or paper in here."""
