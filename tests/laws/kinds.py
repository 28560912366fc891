"""The test's own table of kinds: what injures them, what they live in, what they bear.

Written from published guidance and common practice, without sight of the rules. Columns:

cold, heat : °C at and beyond which harm is published or generally taught (injury, not comfort)
low, high  : the usual range in °C
water      : fresh, brackish or marine
bears      : g/kg salt borne for days by fresh kinds; lowest g/kg borne by sea kinds
lethal     : g/kg that kills fresh kinds within days; under which sea kinds die
ph_low, ph_high : pH beyond which harm is expected within a day
flags      : a air breather, i invertebrate, s soft-water kind, c carp family (koi, carp,
             goldfish and kin), n naked or nearly scaleless, v venomous or stinging,
             t lets poison into the water, z spines that lock in a net, h rests or hides when well,
             l lies on its side when well (J. Dawes, FAMA April 2009, fishchannel.com)
source     : a number in SOURCES

A name is looked up as typed (trade name, group id or genus). What is not in the table is
UNKNOWN: its limits are None, and laws that need them stay silent.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

#: Where a row comes from. "memory" and "practice" are no sources and say so.
SOURCES = {
    "m": "from memory, handbook ranges; common practice, no source",
    "ol": "Oliveira et al. 2008, Acta Amazonica 38:773-779: cardinal tetra dies at 19.6 and "
    "33.3 °C, pH 2.9 and 8.8; the rest of the row from memory",
    "le": "Leggatt et al. 2025, Can. J. Zool. 103:1-7: loss of balance betta 10.0, bronze cory "
    "12.7, pristella 13.2 °C, less active from 17.5, 14.5 and 16.5; the rest from memory",
    "sh": "Shafland & Pestrak 1982, Env. Biol. Fish. 7:149-156: lower lethal oscar 12.9, pleco "
    "11.2, firemouth 10.3, jewel cichlid 9.5, pike livebearer 9.7, walking catfish 9.8 °C; "
    "the rest from memory",
    "or": "Thermal tolerance of thirteen ornamental species 2019, Aquaculture 501:382-386: "
    "CTmin goldfish 2.6-6.5, tiger barb 11.7-13.9; CTmax guppy 39.7-41.8, peppered cory "
    "33.9-37.5 °C; critical, so injury is set nearer; the rest from memory",
    "pe": "Perez et al. 2003, J. Therm. Biol. 28:531-537: angelfish recommended to 30, CTmax "
    "36.9-42.1 °C; the rest from memory",
    "sf": "Schofield & Schulte, NeoBiota: croaking gourami bears 16 psu at once, dies at 7.2 °C; "
    "the rest from memory",
    "go": "Abrupt transfer of goldfish to salinities (iasj.net aId=90258): all alive at 8, half "
    "dead at 10.96 g/L in 96 h; CTmin 2.6-6.5 (Aquaculture 501:382-386); the rest from memory",
    "pl": "Valente et al. 2021, doi 10.1111/are.15277: platy LC50 16.5, over 90 % live at 10 g/L; "
    "the rest from memory",
    "oc": "Clownfish: distress at 8, death at 7 ppt when lowered 3 ppt a week "
    "(discovery.researcher.life, effects of salinity variations); aerobic 23-32 °C "
    "(Velasco-Blanco 2019); the rest from memory",
    "rf": "Rummer et al. 2014, Glob. Change Biol. 20:1055: reef fish near their best at 29-31, "
    "one kind dies at 34 °C; lower limits from memory",
    "sy": "As sh; half of the fry of Cichlasoma synspilum die at 14.5 g/kg in six days (1996)",
    "er": "Hippocampus erectus lives from Canada to Brazil (FishBase); salt as se; the rest from "
    "memory",
    "se": "Seahorses moved straight to 5 g/L died within a week, at 10 and 15 more lived than in "
    "sea water (Purser; Hora et al. 2016); the rest from memory",
    "ma": "Lake Matano, home of Tylomelania gemmifera, stands at 27 to 31 °C (encyclopaedia); the "
    "rest from memory",
    "pb": "NAJFM 2018, 38:706-717: peacock bass dies at 16.1, sailfin pleco at 4 °C; the rest "
    "from memory",
    "sc": "Copatti et al. 2011, Cienc. Rural 41:1482: silver catfish pH 6 to 8; the rest from "
    "memory",
    "cu": "Shrimp: copper kills most invertebrates (Yanong, UF/IFAS FA165); temperatures from "
    "memory",
}


@dataclass(frozen=True)
class Kind:
    """One row of the table; None where the kind is not known."""

    id: str
    cold_injury_c: float | None = None
    heat_injury_c: float | None = None
    low_c: float | None = None
    high_c: float | None = None
    water: str = "unknown"
    salt_bears_g_kg: float | None = None
    salt_lethal_g_kg: float | None = None
    ph_harm_low: float | None = None
    ph_harm_high: float | None = None
    flags: str = ""
    source: str = "m"

    @property
    def air_breather(self) -> bool:
        return "a" in self.flags

    @property
    def invertebrate(self) -> bool:
        return "i" in self.flags

    @property
    def soft_water(self) -> bool:
        return "s" in self.flags

    @property
    def carp_family(self) -> bool:
        return "c" in self.flags

    @property
    def scaleless(self) -> bool:
        return "n" in self.flags

    @property
    def stings(self) -> bool:
        return "v" in self.flags

    @property
    def poisons_water(self) -> bool:
        return "t" in self.flags

    @property
    def net_spines(self) -> bool:
        return "z" in self.flags

    @property
    def lies_when_well(self) -> bool:
        return "l" in self.flags

    @property
    def rests_when_well(self) -> bool:
        return "h" in self.flags


UNKNOWN = Kind("unknown")
_BOTH_WATERS = {"angelfish", "goby", "shark", "catfish", "eel", "puffer", "shrimp", "snail"}

# id               cold heat low high water    bears lethal pHlo pHhi flags source
_TABLE = """
softwater_tetras   18   34   23  28  fresh     2     8      4.0  8.6  s     ol
hardy_tetras       14   35   22  27  fresh     3     9      5.0  9.0  -     le
congo_tetra        17   34   23  27  fresh     2     8      5.0  9.0  s     m
blind_cave_tetra   12   34   20  26  fresh     4     10     5.5  9.2  -     m
silver_dollar      15   36   23  28  fresh     3     9      5.0  9.0  -     m
hatchets_pencils   18   34   23  28  fresh     1.5   7      4.0  8.5  s     m
african_butterfly  18   34   24  28  fresh     2     8      5.0  8.8  as    m
small_rasboras     17   34   22  27  fresh     2     8      4.5  8.8  s     m
danios             9    36   19  27  fresh     4     12     5.5  9.2  -     m
white_cloud        4    32   15  24  fresh     4     12     5.5  9.2  -     m
barbs              12   35   21  27  fresh     3     10     5.5  9.2  -     or
rosy_barb          8    33   16  25  fresh     3     10     5.5  9.2  -     m
redtail_sharks     15   35   22  28  fresh     3     10     5.5  9.2  -     m
livebearers        12   36   20  28  fresh     8     18     6.0  9.5  -     pl
guppy              12   38   20  29  fresh     8     25     5.0  9.5  -     or
molly              14   37   22  29  fresh     15    45     6.3  9.5  -     m
rainbowfish        13   35   22  28  fresh     5     12     5.8  9.3  -     m
ricefish           4    36   15  28  fresh     8     20     5.5  9.3  -     m
killifish          10   33   19  26  fresh     4     12     4.8  9.0  -     m
bettas             14   36   23  30  fresh     4     12     5.0  9.2  a     le
paradise_fish      5    35   15  27  fresh     5     14     5.5  9.3  a     m
gouramis           13   36   22  29  fresh     4     14     5.2  9.2  a     sf
softwater_gouramis 19   34   24  29  fresh     1     6      3.8  8.2  as    m
snakeheads         13   36   21  28  fresh     4     12     5.0  9.2  a     m
bichirs_ropefish   15   36   23  29  fresh     3     10     5.5  9.0  a     m
corydoras          12   34   21  27  fresh     1.5   6      5.0  9.0  anzh  le
plecos             11   36   21  28  fresh     2     8      5.2  9.0  zh    sh
zebra_pleco        18   36   26  31  fresh     1.5   7      5.2  8.8  zh    m
otocinclus         15   33   21  27  fresh     1.5   6      5.2  8.8  h     m
naked_catfish      14   35   22  28  fresh     2     8      5.2  8.9  nzhv  m
silver_catfish     8    34   18  28  fresh     3     9      5.5  9.0  nzh   sc
walking_catfish    10   38   20  30  fresh     4     12     5.0  9.2  anzhv sh
coolwater_catfish  1    33   8   26  fresh     4     12     5.5  9.2  nzhv  m
glass_catfish      17   34   23  27  fresh     1.5   7      5.0  8.6  ns    m
loaches            15   34   23  29  fresh     2     8      5.2  8.9  nhl   m
weather_loaches    1    33   8   26  fresh     3     10     5.5  9.2  anh   m
hillstream_loaches 8    29   18  24  fresh     2     8      5.8  9.0  h     m
freshwater_gobies  13   33   21  27  fresh     3     10     5.5  9.0  h     m
spiny_eels         14   35   22  28  fresh     2     8      5.3  8.9  anh   m
freshwater_rays    19   34   24  29  fresh     1     5      5.0  8.6  nvh   m
discus             20   36   27  31  fresh     2     8      4.2  8.7  s     m
angel_cichlids     16   36   24  29  fresh     3     10     4.8  9.0  -     pe
ram_cichlid        20   36   25  31  fresh     2     8      4.2  8.6  s     m
dwarf_cichlids     17   35   22  28  fresh     2     9      4.5  8.8  s     m
large_cichlids     11   37   22  29  fresh     5     14.5   5.3  9.3  -     sy
tilapias           10   39   21  31  fresh     12    25     5.0  9.8  -     sh
peacock_bass       16   36   24  29  fresh     4     14     5.0  9.0  -     pb
rift_lake_cichlids 15   34   23  28  fresh     6     16     6.5  9.7  -     m
arowanas           17   36   24  30  fresh     3     10     5.0  8.8  a     m
piranhas           12   36   23  28  fresh     3     10     5.0  8.9  -     m
freshwater_puffers 16   35   23  28  fresh     4     12     5.5  9.0  n     m
brackish_fish      14   36   23  29  brackish  0     40     6.3  9.4  -     m
goldfish_plain     1    36   5   26  fresh     6     11     5.3  9.6  c     go
goldfish_fancy     3    35   12  25  fresh     5     11     5.5  9.5  c     go
koi_carp           1    34   5   26  fresh     5     11     5.5  9.5  c     m
pond_fish          1    31   5   23  fresh     4     11     5.5  9.4  -     m
sturgeons          1    26   5   21  fresh     5     12     6.0  9.0  -     m
freshwater_shrimp  8    32   18  27  fresh     3     14     5.5  9.0  i     cu
bee_shrimp         8    30   18  25  fresh     1.5   9      4.8  8.6  is    cu
cool_crayfish      2    30   14  25  fresh     3     14     6.0  9.0  i     m
freshwater_snails  10   35   19  28  fresh     3     9      6.0  9.5  ih    cu
warm_lake_snails   18   34   26  31  fresh     2     9      6.5  9.5  ih    ma
marine_small       18   34   23  28  marine    14    9      7.2  9.2  -     oc
marine_surgeons    19   33   23  28  marine    15    10     7.3  9.0  v     rf
marine_angels      19   33   23  28  marine    15    10     7.3  9.0  -     rf
marine_wrasses     19   33   23  28  marine    16    11     7.3  9.0  h     rf
marine_bottom      18   33   23  28  marine    16    11     7.3  9.0  h     rf
marine_delicate    18   33   23  28  marine    17    12     7.4  9.0  h     rf
seahorses          15   31   21  27  marine    10    5      7.4  9.0  h     se
lined_seahorse     8    31   18  26  marine    10    5      7.4  9.0  h     er
lionfish           16   34   23  28  marine    15    10     7.2  9.0  vh    m
boxfish            18   33   23  28  marine    16    11     7.3  9.0  t     rf
marine_large       17   34   23  28  marine    15    10     7.2  9.0  h     rf
striped_eelcat     17   34   23  28  marine    14    9      7.2  9.0  nvz   m
marine_sharks      18   32   23  28  marine    22    17     7.3  8.9  nh    m
marine_rays        18   32   23  28  marine    22    17     7.3  8.9  nvh   m
marine_shrimp      17   32   23  28  marine    24    18     7.5  8.8  ih    cu
marine_snails      16   32   22  28  marine    24    18     7.5  8.8  ih    cu
corals             19   31   23  28  marine    27    20     7.5  8.8  ih    cu
sea_urchins        17   31   22  27  marine    28    22     7.5  8.8  ihv   cu
sea_stars          17   31   22  27  marine    28    22     7.5  8.8  ih    cu
"""

# What people type, and genera, to rows. Longest name wins.
_NAMES = """
softwater_tetras: neon tetra, cardinal tetra, green neon tetra, rummy-nose tetra, ember tetra,
  glowlight tetra, red phantom tetra, rosy tetra, emperor tetra, diamond tetra, blue tetra,
  lemon tetra, bleeding heart tetra, Paracheirodon, Hemigrammus, Nematobrycon, Moenkhausia,
  Hyphessobrycon amandae, Hyphessobrycon sweglesi, Hyphessobrycon erythrostigma,
  Hyphessobrycon pulchripinnis, Hyphessobrycon bentosi, Boehlkea
hardy_tetras: black skirt tetra, serpae tetra, buenos aires tetra, bloodfin tetra, x-ray tetra,
  penguin tetra, red-eye tetra, red-eyed tetra, black phantom tetra, black neon tetra, tetra,
  Gymnocorymbus, Pristella, Aphyocharax, Thayeria, Hyphessobrycon herbertaxelrodi,
  Hyphessobrycon megalopterus, Hyphessobrycon eques, Hyphessobrycon anisitsi, Arnoldichthys
congo_tetra: Phenacogrammus
blind_cave_tetra: Astyanax
silver_dollar: tambaqui, Metynnis, Colossoma
hatchets_pencils: hatchetfish, pencilfish, Carnegiella, Gasteropelecus, Nannostomus
african_butterfly: african butterflyfish, Pantodon
small_rasboras: harlequin rasbora, lambchop rasbora, chili rasbora, dwarf rasbora, rasbora,
  galaxy rasbora, Danio margaritatus, Danio erythromicron, scissortail rasbora,
  eyespot rasbora, Trigonostigma, Boraras, Rasbora
danios: zebra danio, pearl danio, giant danio, danio, Danio, Devario
white_cloud: white cloud mountain minnow, Tanichthys
barbs: tiger barb, cherry barb, black ruby barb, gold barb, five-banded barb, barb, Puntigrus,
  Puntius, Desmopuntius, Sahyadria, Barbonymus, Barbodes, Dawkinsia, Leptobarbus
rosy_barb: Pethia
redtail_sharks: bala shark, red-tailed black shark, rainbow shark, siamese algae eater,
  Epalzeorhynchos, Balantiocheilos, Crossocheilus, Labeo, Gyrinocheilus
livebearers: platy, swordtail, variatus platy, mosquitofish, livebearer, Xiphophorus, Gambusia
guppy: Poecilia reticulata
molly: short-finned molly, sailfin molly, yucatan molly, black molly, Poecilia sphenops,
  Poecilia latipinna, Poecilia velifera
rainbowfish: blue-eye, Melanotaenia, Glossolepis, Chilatherina, Bedotia, Pseudomugil, Iriatherina
ricefish: Oryzias
killifish: lyretail killifish, Aphyosemion, Fundulopanchax, Nothobranchius, Epiplatys, Aplocheilus,
  Aplocheilichthys
bettas: siamese fighting fish, betta, peaceful betta, Betta
paradise_fish: Macropodus
gouramis: dwarf gourami, honey gourami, three-spot gourami, pearl gourami, kissing gourami,
  croaking gourami, gourami, giant gourami, Trichogaster, Trichopodus, Trichopsis, Helostoma,
  Osphronemus, Ctenopoma
softwater_gouramis: chocolate gourami, sparkling gourami, Sphaerichthys, Parosphromenus
snakeheads: dwarf snakehead, Channa
bichirs_ropefish: senegal bichir, ropefish, Polypterus, Erpetoichthys
corydoras: bronze corydoras, peppered corydoras, panda corydoras, emerald catfish, Corydoras,
  Brochis, Megalechis
plecos: bristlenose catfish, common pleco, clown pleco, royal pleco, pleco, Ancistrus, Hypostomus,
  Pterygoplichthys, Panaque, Panaqolus, Baryancistrus, Peckoltia
zebra_pleco: Hypancistrus
otocinclus: Otocinclus, Macrotocinclus
naked_catfish: pictus catfish, upside-down catfish, cuckoo synodontis, featherfin synodontis,
  iridescent shark, redtail catfish, striped raphael catfish, Pimelodus, Synodontis,
  Phractocephalus, Platydoras, Pangasianodon, Agamyxis, Microglanis
silver_catfish: Rhamdia
walking_catfish: Clarias
coolwater_catfish: channel catfish, wels catfish, Ictalurus, Silurus
glass_catfish: african glass catfish, Kryptopterus, Pareutropius
loaches: clown loach, yoyo loach, zebra loach, kuhli loach, tiger loach, dwarf chain loach,
  burmese border loach, loach, Chromobotia, Botia, Pangio, Ambastaia, Yasuhikotakia, Syncrossus
weather_loaches: weather loach, european weatherfish, Misgurnus
hillstream_loaches: hillstream loach, borneo sucker, Sewellia, Beaufortia, Gastromyzon
freshwater_gobies: peacock gudgeon, badis, scarlet badis, white-cheeked goby, Tateurndina, Badis,
  Dario, Rhinogobius, Stiphodon
spiny_eels: peacock spiny eel, fire eel, black ghost knifefish, african knifefish,
  elephantnose fish, glass knifefish, spiny_eels_knifefish, Mastacembelus, Apteronotus,
  Gnathonemus, Xenomystus, Macrognathus, Eigenmannia
freshwater_rays: motoro stingray, white-blotched river stingray, Potamotrygon
discus: altum angelfish, Symphysodon
angel_cichlids: freshwater angelfish, angelfish, severum, festivum, Pterophyllum, Heros, Mesonauta
ram_cichlid: ram, Mikrogeophagus ramirezi
dwarf_cichlids: bolivian ram, cockatoo dwarf cichlid, kribensis, dwarf cichlid, Apistogramma,
  Pelvicachromis, Mikrogeophagus altispinosus, Nannacara, Laetacara, Anomalochromis
large_cichlids: oscar, convict cichlid, firemouth cichlid, jack dempsey, texas cichlid,
  green terror, blue acara, midas cichlid, jewel cichlid, Astronotus, Amatitlania, Thorichthys,
  Rocio, Herichthys, Andinoacara, Amphilophus, Hemichromis, Geophagus, Uaru
tilapias: mozambique tilapia, blue tilapia, Oreochromis
peacock_bass: Cichla
rift_lake_cichlids: rift lake cichlid
arowanas: silver arowana, asian arowana, Osteoglossum, Scleropages
piranhas: red-bellied piranha, Pygocentrus
freshwater_puffers: pea puffer, fahaka puffer, south american puffer, humpback puffer,
  Carinotetraodon, Colomesus, Tetraodon, Pao
brackish_fish: green spotted puffer, figure-eight puffer, archerfish, mono, scat, mudskipper,
  bumblebee goby, orange chromide, Monodactylus, Scatophagus, Toxotes, Brachygobius, Etroplus,
  Dichotomyctere, Periophthalmus
goldfish_plain: goldfish, crucian carp, Carassius
goldfish_fancy: fancy goldfish, Carassius auratus (fancy)
koi_carp: koi, common carp, Cyprinus
pond_fish: golden orfe, tench, rudd, roach, grass carp, silver carp, bitterling, rainbow shiner,
  fathead minnow, Leuciscus, Tinca, Scardinius, Rutilus, Ctenopharyngodon, Rhodeus,
  Hypophthalmichthys, Notropis, Pimephales
sturgeons: sterlet, Acipenser
freshwater_shrimp: cherry shrimp, amano shrimp, ghost shrimp, bamboo shrimp, vampire crab,
  freshwater_invertebrates, Neocaridina, Atyopsis, Palaemonetes, Geosesarma
bee_shrimp: bee shrimp, Caridina
cool_crayfish: dwarf mexican crayfish, Cambarellus
warm_lake_snails: rabbit snail, Tylomelania
freshwater_snails: mystery snail, ramshorn snail, zebra nerite snail,
  freshwater clam, Pomacea, Planorbella, Vittina, Neritina, Planorbarius, Corbicula
marine_small: clownfish, percula clownfish, maroon clownfish, tomato clownfish,
  clark's anemonefish, blue-green chromis, blue damselfish, yellowtail damselfish,
  humbug damselfish, banggai cardinalfish, pajama cardinalfish, royal gramma, orchid dottyback,
  lyretail anthias, Amphiprion, Chromis, Dascyllus, Pterapogon, Gramma, Premnas, Chrysiptera,
  Sphaeramia, Pseudochromis, Pseudanthias
marine_surgeons: yellow tang, blue tang, powder blue tang, kole tang, naso tang, foxface, tang,
  yellowtail tang, Zebrasoma, Paracanthurus, Acanthurus, Siganus, Naso, Ctenochaetus
marine_angels: coral beauty, flame angelfish, emperor angelfish, queen angelfish, gray angelfish,
  copperband butterflyfish, threadfin butterflyfish, pennant coralfish, marine_surgeons_angels,
  Pomacanthus, Centropyge, Chaetodon, Chelmon, Holacanthus, Heniochus
marine_wrasses: cleaner wrasse, yellow wrasse, six-line wrasse, fairy wrasse, Labroides,
  Halichoeres, Pseudocheilinus, Cirrhilabrus
marine_bottom: neon goby, watchman goby, diamond goby, lawnmower blenny, bicolor blenny, firefish,
  Elacatinus, Cryptocentrus, Valenciennea, Salarias, Ecsenius, Nemateleotris, Amblyeleotris
marine_delicate: mandarinfish, bluestripe pipefish, Synchiropus, Doryrhamphus
seahorses: spotted seahorse, Hippocampus
lined_seahorse: Hippocampus erectus
lionfish: red lionfish, Pterois
boxfish: longhorn cowfish, Lactoria, Ostracion
marine_large: picasso triggerfish, niger triggerfish, snowflake moray, blackspotted puffer,
  porcupine puffer, valentini puffer, Rhinecanthus, Odonus, Echidna, Arothron, Diodon, Canthigaster
striped_eelcat: striped eel catfish, Plotosus
marine_sharks: brownbanded bamboo shark, marine_sharks_rays, Chiloscyllium
marine_rays: bluespotted ribbontail ray, Taeniura
marine_shrimp: cleaner shrimp, fire shrimp, peppermint shrimp, banded coral shrimp,
  peacock mantis shrimp, blue-legged hermit crab, emerald crab, marine_invertebrates, Lysmata,
  Stenopus, Mithraculus, Odontodactylus, Clibanarius
marine_snails: turbo snail, nassarius snail, maxima clam, Turbo, Nassarius, Tridacna
corals: hammer coral, leather coral, bubble-tip anemone, Euphyllia, Sarcophyton, Entacmaea
sea_urchins: sea urchin, Tripneustes
sea_stars: chocolate chip starfish, Protoreaster
"""


@cache
def _rows() -> dict[str, Kind]:
    rows = {}
    for line in _TABLE.strip().splitlines():
        name, *rest = line.split()
        cold, heat, low, high = (float(part) for part in rest[:4])
        water, flags, source = rest[4], rest[9].strip("-"), rest[10]
        bears, lethal, ph_low, ph_high = (float(part) for part in rest[5:9])
        rows[name] = Kind(
            name, cold, heat, low, high, water, bears, lethal, ph_low, ph_high, flags, source
        )
    return rows


@cache
def _names() -> dict[str, str]:
    names = {row: row for row in _rows()}
    for line in _NAMES.strip().replace("\n ", " ").splitlines():
        row, _, typed = line.partition(":")
        names |= {name.strip().lower(): row for name in typed.split(",")}
        names[row.replace("_", " ")] = row
    return names


def known_kinds() -> dict[str, Kind]:
    """Every row by its id."""
    return dict(_rows())


def kind_of(species: str | None, group: str | None = None) -> Kind:
    """The row for what was typed; UNKNOWN when neither name nor group is in the table.

    A scientific name is looked up whole, then by genus; a trade name whole, then by its last
    words ("sterba's corydoras"), unless those name fish of fresh water and of the sea alike.
    """
    names = _names()
    for typed in (species, group):
        if not typed:
            continue
        name = typed.strip().lower()
        words = name.split(" ")
        tails = [" ".join(words[-2:]), words[-1]] if words[-1] not in _BOTH_WATERS else []
        for tried in (name, name.rstrip("s"), words[0], *tails):
            if tried in names:
                return _rows()[names[tried]]
    return UNKNOWN
