/**
 * What the plant model assumes of the world. The model has to look right, not to be right: it writes demo data, tries
 * out faults and shows what a setting would do. No finding rests on these numbers.
 */

/** g/mol, from IUPAC's atomic weights. */
export const CYANURIC_ACID_G_MOL = 129.075
/** mg as CaCO3 in one milliequivalent: half of 100.087 g/mol. */
export const MG_CACO3_PER_MEQ = 50.043

/** mg of cyanuric acid that come with each mg of chlorine (Cl2) from trichlor: 129.07 / (3 × 70.906). */
export const TRICHLOR_CYANURIC_SHARE = 0.607
/** meq of acid left by each mg of chlorine from trichlor: one proton per chlorine once it is used up, 1 / 70.906 (computed). From a hypochlorite drum or a generator the same proton only takes back the lye that came with it. */
export const TRICHLOR_ACID_MEQ_PER_MG = 0.0141
/** meq of lye that stay after each mg of chlorine from the drum is used up: about 0.3 % NaOH left in 12 % hypochlorite. From memory. */
export const HYPOCHLORITE_LYE_MEQ_PER_MG = 0.0008
/** mg of salt that stay after each mg of chlorine from hypochlorite: 2 × 58.44 / 70.906 (computed). */
export const SALT_PER_CHLORINE = 1.65
/** mg of calcium hardness (as CaCO3) with each mg of chlorine from calcium hypochlorite: 100.09 / (2 × 70.906). */
export const CALCIUM_HYPOCHLORITE_HARDNESS = 0.706

/** What one litre of a drum's content brings: g of chlorine (bromine as Br2), meq of acid, or mmol of carbon dioxide. */
export const CONTENT_PER_LITRE = {
  /** 12 trade per cent: 120 g/L, by the definition of trade per cent. */
  sodiumHypochlorite: 120,
  /** 65 % tablets at 0.8 kg per litre of hopper. From memory. */
  calciumHypochlorite: 520,
  /** 90 % tablets at 0.95 kg per litre of hopper. From memory. */
  trichlor: 855,
  /** Hydantoin tablets, as bromine, 0.9 kg per litre of hopper. From memory. */
  bromineTablets: 1000,
  /** 31.45 %, 1.16 kg/L: 10.0 eq/L (computed). */
  hydrochloricAcid: 10_000,
  /** 38 %, 1.28 kg/L: 9.9 eq/L (density from memory, rest computed). */
  sulfuricAcid: 9_900,
  /** 300 g dissolved to a litre: 2.5 eq/L (computed). */
  sodiumBisulfate: 2_500,
  /** Liquid in the bottle, 0.75 kg/L: 17 mol/L. From memory. */
  carbonDioxide: 17_000,
} as const

/** Hypochlorite in a warm drum loses about 1 % of its strength a day. From memory; published figures differ ten-fold. */
export const HYPOCHLORITE_FADING_PER_DAY = 0.01

/** Chlorine lost under a high sun without cyanuric acid, per hour: a half-life of about 50 minutes in shallow water, slower in deep. From memory. */
export const SUN_LOSS_PER_HOUR = 0.55
/** mg/L of cyanuric acid that halve the sun's loss. From memory. */
export const SHIELD_HALVES_AT_MG_L = 6
/** Bromine is hardly shielded and lost a little slower than bare chlorine. From memory. */
export const BROMINE_SUN_SHARE = 0.7
/** Loss without sun or bathers (dust, skin left over, surfaces, air), per hour at 27 °C; doubles every 12 °C. From memory. */
export const QUIET_LOSS_PER_HOUR = 0.012
/** g of chlorine that one bather uses up in an hour in the water. From memory; published figures range from 1 to 10. */
export const CHLORINE_G_PER_BATHER_HOUR = 2
/** The same demand in bromine: 159.8 / 70.9 (computed). */
export const BROMINE_PER_CHLORINE = 2.25
/** Part of the bathers' demand that stays as combined chlorine for a while, and how fast that is oxidized or blown out. From memory. */
export const COMBINED_SHARE = 0.07
export const COMBINED_LOSS_PER_HOUR = 0.08

/** Carbon dioxide in water that has come to rest with air of 420 ppm at 27 °C, mmol/L (Henry's constant from memory); halls hold twice as much. */
export const CO2_OUTDOORS_MMOL_L = 0.0135
export const CO2_INDOORS_MMOL_L = 0.027

/** Nernst slope per decade for two electrons at 25 °C, ln10·R·T/2F: 29.58 mV, and its growth per °C (computed). */
export const IDEAL_SLOPE_MV = 29.58
export const IDEAL_SLOPE_MV_PER_C = 0.0992
/** What a clean probe shows in 0.5 mg/L of hypochlorous acid at pH 7.5, Ag/AgCl. From memory; ten new probes differed by 5 mV (Steininger and Pareja 1996). */
export const ORP_AT_HALF_MG_MV = 770
/** Hypobromous acid stands lower at the same mg/L. From memory. */
export const BROMINE_ORP_STEP_MV = -45
/** What water without a sanitizer shows, and the acid (mg/L) at which both count the same. From memory. */
export const ORP_BARE_MV = 360
export const ORP_BARE_AT_MG_L = 0.0012
/** pKa of hypobromous acid. From memory. */
export const HYPOBROMOUS_PKA = 8.7
