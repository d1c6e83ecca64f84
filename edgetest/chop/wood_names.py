"""Names in use for woods beside those of `wood_table`; which is in use where: common practice.

A name stands here in small letters, and the wood as `wood_table` names it.
"""

OTHER_NAMES = {
    "hard maple": "maple, sugar",
    "rock maple": "maple, sugar",
    "tulip poplar": "yellow-poplar",
    "american basswood": "basswood",
    "american lime": "basswood",
    "coast douglas fir": "douglas-fir, coast",
    "robinia": "locust, black",
    "false acacia": "locust, black",
    "linden": "lime, european",
    "common lime": "lime, european",
    "spanish chestnut": "chestnut, sweet",
    "wild cherry": "cherry, european",
    "gean": "cherry, european",
    "black alder": "alder, european",
    "pedunculate oak": "oak, english",
    "sallow": "willow, goat",
    "quickthorn": "hawthorn, common",
    "whitethorn": "hawthorn, common",
    "may": "hawthorn, common",
    "cobnut": "hazel",
    "crab apple": "apple",
    "crab": "apple",
    "sycamore maple": "sycamore, european",
    "redwood, european": "pine, scots",
    "box elder": "boxelder",
}
# Names that mean one wood as a rule, and another now and then: taken, and said.
LOOSE_NAMES = {
    "douglas-fir": "douglas-fir, coast",
    "douglas fir": "douglas-fir, coast",
    "hawthorn": "hawthorn, common",
    "lime": "lime, european",
    "red oak": "oak, northern red",
    "soft maple": "maple, red",
    "hazelnut": "hazel",
    "green ash": "ash, american green",
    "ash, green": "ash, american green",
    "tulipwood": "yellow-poplar",
    "white birch": "birch, silver",
    "mountain ash": "rowan",
    "boxwood": "box",
    "silver fir": "fir, european silver",
    "whitewood": "spruce, norway",
}
# Names that mean woods of several kinds beyond those that begin with them in the table.
SEVERAL = {
    "cedar": ("redcedar, western", "redcedar, eastern"),
    "poplar": ("aspen, european", "yellow-poplar"),
    "locust": ("locust, black",),
    "thorn": ("hawthorn, common",),
    "redwood": ("pine, scots",),
    "maple": ("sycamore, european",),
}
# Names in use for which no source with a density was found: asked to be weighed.
UNTABLED = {
    "blackthorn": "hardwood",
    "sloe": "hardwood",
    "elder": "hardwood",
    "spindle": "hardwood",
    "privet": "hardwood",
    "guelder rose": "hardwood",
    "damson": "hardwood",
    "london plane": "hardwood",
    "cedar of lebanon": "softwood",
    "juniper": "softwood",
}
# Groups of the lumber trade, by the words of the stamp: woods that are sawn and sold as one. The
# eight of Spruce-Pine-Fir are those of a course for lumber graders (SPF, Canada).
SPF = ("spruce, white", "spruce, black", "spruce, red", "fir, balsam", "spruce, engelmann",
       "pine, lodgepole", "pine, jack", "fir, subalpine")  # fmt: skip
TRADE_GROUPS = dict.fromkeys(("spf", "s-p-f", "s.p.f.", "spruce-pine-fir", "spruce pine fir"), SPF)
# Words for the water of wood, which stands in its own column, and what is written there.
WATER_WORDS = {"green": "green", "fresh": "green", "wet": "green", "unseasoned": "green",
               "seasoned": "air-dry", "air-dry": "air-dry", "air-dried": "air-dry"}  # fmt: skip
