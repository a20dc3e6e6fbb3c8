"""Tags of the consultations' templates."""
