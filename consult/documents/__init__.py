"""The papers and the drawing: values in, PDF bytes or SVG text out. No rows, no clock, no settings, no Django."""
