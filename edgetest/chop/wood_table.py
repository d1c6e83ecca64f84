"""What do published sources say of each wood: density, side hardness, and where it was read?

A line is name | botanical name | density and its source | side hardness at 12 %, N, and its
source | green side hardness, N | moisture at which strength starts to change, %. A density is
specific gravity at 12 % (0.60g: oven-dry mass on the volume at 12 %), basic specific gravity
(0.56b: on the green volume) or kg/m³ at 12 % (680k). A wood without hardness has it reckoned.

Green hardness and the last column (handbook Table 5-13, 25 % where a wood is not listed) are
from memory of the Wood Handbook, except green hardness with a letter, which was read; sugar
maple's (970 lbf) a flooring association's data page repeats. Western white pine is the inch
table's 0.38: the metric one prints 0.35, less than its own green value.
"""

GREEN_FROM_MEMORY = "Wood Handbook, from memory"
SOURCES = {
    "H": "Wood Handbook (FPL-GTR-190, 2010), Table 5-3a, read in copies of the table",
    "S": "Wood Handbook, strength table in inch units, read in a copy that leaves hardness out",
    "M": "The Wood Database (E. Meier), the wood's own page",
    "C": "The Wood Database (E. Meier), read in a page that copies it",
    "W": "w00dworking.com, family pages in lb/ft³ and lbf, as converted",
    "B": "a timber merchant's data page (2.00 lb a board foot, 460 lbf), as converted",
    "T": "timberpolis, data page of the wood",
    "G": "Global Wood Density Database (Zanne and others 2009), basic density",
    "E": "European Wood initiative, species page, density at 12 %",
    "F": "a timber merchant's data page (frey-amon), density at 12 %",
    "L": "woodswatch, library page of the wood (lbf), as converted",
    "O": "Oregon State University, table of working and physical properties (lbf), as converted",
    "Z": "Zeidler 2012, Journal of Forest Science 58, 145-151, basic density",
}

EUROPEAN_HARDWOODS = """
alder, European|Alnus glutinosa|495k C|2890 C
apple|Malus domestica|833k W|7695 W
apricot|Prunus armeniaca|745k M
ash, European|Fraxinus excelsior|680k C|6580 C
aspen, European|Populus tremula|449k W|1690 W
beech, European|Fagus sylvatica|710k C|6460 C
birch, downy|Betula pubescens|625k W|4003 W
birch, silver|Betula pendula|640k C|5360 C
box|Buxus sempervirens|977k W|12633 W
buckthorn|Rhamnus cathartica|605k C|4630 C
cherry, bird|Prunus padus|0.465b G
cherry, European|Prunus avium|600k M|5120 M
chestnut, horse|Aesculus hippocastanum|497k W|3648 W
chestnut, sweet|Castanea sativa|545k W|3025 W
dogwood, common|Cornus sanguinea|0.68b G
elm, Dutch|Ulmus x hollandica|575k M|3790 M
elm, English|Ulmus procera|577k W|3559 W
elm, field|Ulmus minor|0.551b G
elm, white|Ulmus laevis|0.551b G
elm, wych|Ulmus glabra|0.551b G
hawthorn, common|Crataegus monogyna|785k M
hawthorn, midland|Crataegus laevigata|0.70b G
hazel|Corylus avellana|610k M
hazel, Turkish|Corylus colurna|0.544b Z
holly, European|Ilex aquifolium|650k M|4510 M
hornbeam, European|Carpinus betulus|735k M|7260 M
laburnum|Laburnum anagyroides|849k W|8963 W
laurel, Portuguese|Prunus lusitanica|0.61b G
lime, European|Tilia x europaea|535k C|3100 C
maple, field|Acer campestre|0.525b G
maple, Norway|Acer platanoides|0.508b G
oak, cork|Quercus suber|0.77b G
oak, English|Quercus robur|720k C|4980 C
oak, holm|Quercus ilex|0.82b G
oak, Pyrenean|Quercus pyrenaica|0.84b G
oak, sessile|Quercus petraea|0.56b G|4990 T
oak, Turkey|Quercus cerris|0.70b G
pear|Pyrus communis|690k C|7380 C
plum|Prunus domestica|795k M
poplar, black|Populus nigra|384k B|2046 B
poplar, white|Populus alba|440k C|1820 C
rowan|Sorbus aucuparia|0.629b G
service tree, wild|Sorbus torminalis|0.611b G
sycamore, European|Acer pseudoplatanus|640k F
walnut, European|Juglans regia|640k L|5427 L
whitebeam|Sorbus aria|0.611b G
willow, crack|Salix fragilis|430k M|2830 M
willow, goat|Salix caprea|0.396b G
willow, weeping|Salix babylonica|0.42b G
willow, white|Salix alba|400k W|2535 W
"""
EUROPEAN_SOFTWOODS = """
cypress, Italian|Cupressus sempervirens|0.49b G
fir, European silver|Abies alba|416k W|1423 W
fir, Spanish|Abies pinsapo|0.41b G
larch, European|Larix decidua|577k W|3292 W
pine, maritime|Pinus pinaster|550k E
pine, Scots|Pinus sylvestris|550k C|2420 C
spruce, Norway|Picea abies|405k M|1680 M
yew, European|Taxus baccata|673k W|6761 W
"""
ASIAN_HARDWOODS = """
elm, Chinese|Ulmus parvifolia|0.773b G
elm, Siberian|Ulmus pumila|0.544b G
maple, painted|Acer mono|0.639b G
oak, Mongolian|Quercus mongolica|0.636b G
oak, sawtooth|Quercus acutissima|0.733b G
pagoda tree|Styphnolobium japonicum|0.636b G
"""
ASIAN_SOFTWOODS = """
China-fir|Cunninghamia lanceolata|0.32b G
hemlock, Chinese|Tsuga chinensis|0.453b G
larch, golden|Pseudolarix amabilis|0.421b G
larch, Japanese|Larix kaempferi|497k W|2669 W
sugi|Cryptomeria japonica|0.38b G
"""
AMERICAN_HARDWOODS = """
alder, red|Alnus rubra|0.41g H|2600 H|2000
ash, black|Fraxinus nigra|0.49g H|3800 H|2300
ash, blue|Fraxinus quadrangulata|0.58g S
ash, American green|Fraxinus pennsylvanica|0.56g H|5300 H|3900
ash, Oregon|Fraxinus latifolia|0.55g S
ash, white|Fraxinus americana|0.60g H|5900 H|4300|24
aspen, bigtooth|Populus grandidentata|432k W|1868 W
aspen, quaking|Populus tremuloides|0.38g H|1600 H|1300
basswood|Tilia americana|0.37g H|1800 H|1100
beech, American|Fagus grandifolia|0.64g H|5800 H|3800
birch, Alaska paper|Betula neoalaskana|609k W|3692 W
birch, gray|Betula populifolia|561k W|3381 W
birch, paper|Betula papyrifera|0.55g H|4000 H|2500
birch, sweet|Betula lenta|0.65g H|6500 H|4300
birch, yellow|Betula alleghaniensis|0.62g H|5600 H|3500|27
boxelder|Acer negundo|481k W|3203 W
butternut|Juglans cinerea|0.38g H|2200 H|1700
cherry, black|Prunus serotina|0.50g H|4200 H|2900
cherry, pin|Prunus pensylvanica|0.36b G
chestnut, American|Castanea dentata|481k W|2402 W
cottonwood, black|Populus trichocarpa|0.35g S
cottonwood, eastern|Populus deltoides|0.40g H|1900 H|1500
cucumbertree|Magnolia acuminata|0.48g S
dogwood, flowering|Cornus florida|817k W|9564 W
dogwood, Pacific|Cornus nuttallii|0.58b G
elm, American|Ulmus americana|0.50g H|3700 H|2800
elm, cedar|Ulmus crassifolia|657k W|5894 W
elm, rock|Ulmus thomasii|0.63g S
elm, slippery|Ulmus rubra|0.53g S
elm, winged|Ulmus alata|0.60b G
hackberry|Celtis occidentalis|0.53g H|3900 H|3100
hawthorn, pear|Crataegus calpodendron|775k M|7450 M
hickory, bitternut|Carya cordiformis|0.66g S
hickory, mockernut|Carya tomentosa|0.72g H|8800 H
hickory, nutmeg|Carya myristiciformis|0.60g S
hickory, pecan|Carya illinoinensis|0.66g H|8100 H|5800
hickory, pignut|Carya glabra|0.75g H|9500 H
hickory, shagbark|Carya ovata|0.72g H|8400 H
hickory, shellbark|Carya laciniosa|0.69g S
hickory, water|Carya aquatica|0.62g S
holly, American|Ilex opaca|640k C|4540 C
hornbeam, American|Carpinus caroliniana|785k W|8274 W
locust, black|Robinia pseudoacacia|0.69g H|7600 H|7000
laurel, California|Umbellularia californica|0.51b G
magnolia, southern|Magnolia grandiflora|0.50g S
maple, bigleaf|Acer macrophyllum|0.48g H|3800 H|2800
maple, black|Acer nigrum|0.57g S
maple, red|Acer rubrum|0.54g H|4200 H|3100
maple, silver|Acer saccharinum|0.47g H|3100 H|2600
maple, striped|Acer pensylvanicum|0.44b G
maple, sugar|Acer saccharum|0.63g H|6400 H|4300
oak, black|Quercus velutina|0.56b G
oak, bur|Quercus macrocarpa|0.64g H|6100 H|4900
oak, California black|Quercus kelloggii|0.51b G
oak, canyon live|Quercus chrysolepis|0.70b G
oak, chestnut|Quercus montana|0.57b G
oak, laurel|Quercus laurifolia|0.56b G
oak, live|Quercus virginiana|0.80b G
oak, northern red|Quercus rubra|0.63g H|5700 H|4400
oak, Oregon white|Quercus garryana|0.64b G
oak, overcup|Quercus lyrata|0.57b G
oak, pin|Quercus palustris|0.58b G
oak, post|Quercus stellata|0.60b G
oak, scarlet|Quercus coccinea|0.60b G
oak, southern red|Quercus falcata|0.59g H|4700 H|3800
oak, swamp chestnut|Quercus michauxii|0.60b G
oak, swamp white|Quercus bicolor|0.64b G
oak, water|Quercus nigra|0.56b G
oak, white|Quercus alba|0.68g H|6000 H|4700
oak, willow|Quercus phellos|0.56b G
poplar, balsam|Populus balsamifera|0.34g S
sweetgum|Liquidambar styraciflua|0.52g H|3800 H|2700
sycamore, American|Platanus occidentalis|0.49g H|3400 H|2700
walnut, black|Juglans nigra|0.55g H|4500 H|4000
willow, black|Salix nigra|415k M|1920 M
yellow-poplar|Liriodendron tulipifera|0.42g H|2400 H|2000
"""
AMERICAN_SOFTWOODS = """
baldcypress|Taxodium distichum|0.46g H|2300 H|1700
cypress, Monterey|Cupressus macrocarpa|0.40b G
Douglas-fir, coast|Pseudotsuga menziesii|0.48g H|3200 H|2200|24
Douglas-fir, interior west||0.50g H|2900 H||24
fir, balsam|Abies balsamea|0.35g H|1700 H|1300
fir, California red|Abies magnifica|432k W|2224 W
fir, grand|Abies grandis|0.39g O|2180 O
fir, noble|Abies procera|0.39g O|1824 O
fir, Pacific silver|Abies amabilis|0.43g O|1913 O
fir, subalpine|Abies lasiocarpa|0.32g O|1557 O
fir, white|Abies concolor|0.39g H|2100 H|1500
hemlock, eastern|Tsuga canadensis|0.40g H|2200 H|1800
hemlock, mountain|Tsuga mertensiana|0.42b G
hemlock, western|Tsuga heterophylla|0.45g H|2400 H|1800|28
larch, western|Larix occidentalis|0.52g H|3700 H|2300|28
pine, eastern white|Pinus strobus|0.35g H|1700 H|1300
pine, jack|Pinus banksiana|0.43g H|2500 H|1800
pine, loblolly|Pinus taeda|0.51g H|3100 H|2000|21
pine, lodgepole|Pinus contorta|0.41g H|2100 H|1500
pine, longleaf|Pinus palustris|0.59g H|3900 H|2600|21
pine, ponderosa|Pinus ponderosa|0.40g H|2000 H|1400 H
pine, red|Pinus resinosa|0.46g H|2500 H|1500 H|24
pine, shortleaf|Pinus echinata|0.51g H|3100 H|2000 H
pine, sugar|Pinus lambertiana|0.36g H|1700 H|1200 H
pine, western white|Pinus monticola|0.38g H|1900 H|1200 H
redcedar, eastern|Juniperus virginiana|0.47g H|4000 H|2900
redcedar, western|Thuja plicata|0.32g H|1600 H|1200
redwood, old-growth|Sequoia sempervirens|0.40g H|2100 H|1800 H|21
redwood, young-growth||0.35g H|1900 H|1600 H|21
spruce, black|Picea mariana|0.42g H|2400 H
spruce, Engelmann|Picea engelmannii|0.35g H|1750 H|1150
spruce, red|Picea rubens|0.40g H|2200 H|1600|27
spruce, Sitka|Picea sitchensis|0.40g H|2300 H|1600|27
spruce, white|Picea glauca|0.36g H|1800 H
tamarack|Larix laricina|0.53g H|2600 H|1700|24
yew, Pacific|Taxus brevifolia|705k W|7117 W
"""
BLOCKS = (
    ("European", "hardwood", EUROPEAN_HARDWOODS),
    ("European", "softwood", EUROPEAN_SOFTWOODS),
    ("Asian", "hardwood", ASIAN_HARDWOODS),
    ("Asian", "softwood", ASIAN_SOFTWOODS),
    ("American", "hardwood", AMERICAN_HARDWOODS),
    ("American", "softwood", AMERICAN_SOFTWOODS),
)
