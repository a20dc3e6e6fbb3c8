"""Which allergen substances can an ingredient hold? The names that the owner ticks and the sheet declares by."""

# One name for one substance. Which of them must be declared, and under what name, differs by place
# and is settled where a sheet's allergens are worked out.
SUBSTANCES = (
    "wheat", "spelt", "rye", "barley", "oats",
    "egg", "milk", "peanut", "soy", "sesame",
    "almond", "brazil nut", "cashew", "hazelnut", "macadamia", "pecan", "pine nut", "pistachio",
    "walnut", "black walnut",
    "celery", "mustard", "lupin", "sulphites", "fish", "crustacean", "mollusc",
    "coconut", "chestnut",
)  # fmt: skip
