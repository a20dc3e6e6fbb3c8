"""The shop's own pages: each module is a form, then its view. Nothing about consultations goes here."""
