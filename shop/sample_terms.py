"""Under which terms does the sample shop sell, and what does a signer agree to? A starting text to be edited.

Not legal advice; have it checked for where you trade. It says what the deposit is for and how a loss is
reckoned, since a bare "non-refundable" does not hold everywhere.
"""

_PARAGRAPHS = (
    "What you are ordering. The design sheet says it all: tiers, servings, flavours, finish, "
    "decorations, hand-over and price. What is not on the sheet is not part of the order. A cake "
    "is made by hand; small differences in shade and placing are part of it.",
    "Holding your date. The date is yours once the sheet is signed and the deposit has come in. "
    "The deposit is part of the price. It secures the bench hours we then refuse to others, and "
    "what we buy for your cake.",
    "Paying the rest. The balance is due on the day the sheet names. Until it has come in we do "
    "not begin to bake.",
    "Changing your mind. Servings and design can be changed until the days this sheet names, if "
    "the hours are there; the price follows the change and a new sheet is signed. Later changes "
    "are made only where we still can.",
    "Cancelling. Tell us in writing. What you then pay is in the schedule on this sheet: it is our "
    "estimate of the work done, of what was bought for your cake and of the hours we can no longer "
    "give to anyone else. If our loss turns out smaller, because we could give your date to someone "
    "else, we keep only that. If we have to cancel, you get back all you have paid.",
    "A cake made to your wishes. This cake is made for you alone and does not keep. Once it is "
    "begun it cannot be given back for a change of mind.",
    "Allergens. The sheet lists what the cake contains, from the labels of what we buy. Nuts, "
    "gluten, egg and milk are used in our kitchen every day, so traces can get in. Tell us what "
    "somebody must avoid before you sign.",
    "Parts that are not food. Wires, holders, toppers, ribbon, fresh flowers, boards and supports "
    "are listed on the sheet and come off before cutting. Whoever cuts the cake needs that list.",
    "Collecting. Carry the cake level, on a flat floor, in a cool car, never on a seat or a lap. "
    "From the moment you take it, it is in your care.",
    "Delivery. We need a firm, level table out of the sun, in a cool room, and somebody to "
    "receive the cake. After we have set it up and you, or whoever receives it, have looked it "
    "over, it is in your care.",
    "If something is wrong. Tell us the same day, keep the cake and take photos, so that we can "
    "put it right.",
)
TERMS_TEXT = "\n\n".join(_PARAGRAPHS)

CONSENT_TEXT = (
    "I have read this sheet and its terms and I mean to sign it. I agree to sign electronically; my "
    "drawn mark or typed name counts as my signature. I can have the sheet on paper and sign it there "
    "instead, now or before I sign, at no cost, and I am given a copy."
)
