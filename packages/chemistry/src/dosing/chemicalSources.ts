import type { ChemicalKey } from './catalogue.ts'

// apart from the catalogue, so that a browser that only doses need not load it
const HYPOCHLORITE =
  'Trade and weight per cent: Handbook of Chlorination (1972), as cited by a distributor. Density: a maker’s data sheet, second hand. 0.3 % of sodium hydroxide beside it: common practice, no source.'
const CALCIUM_HYPOCHLORITE =
  'Available chlorine as its label says. 3 % of calcium hydroxide and 15 % of sodium chloride beside it: common practice, no source.'
const MURIATIC =
  '20 °Bé is 31.45 %, half strength half of it: from memory. Density: a straight line that meets an old encyclopedic dictionary’s table within 0.0003 kg/L.'
const SULFURIC =
  'Density of 100 %: globalspec.com reference 10728, chapter 3; at other strengths from memory. Strengths sold: common practice, no source.'
const PURE = 'Formula; sold pure.'
const CALCIUM_CHLORIDE = 'Share of CaCl2 as its label says; of the dihydrate from the formula.'

/** Where composition, strength and density of each chemical come from. */
export const CHEMICAL_SOURCES: Record<ChemicalKey, string> = {
  sodiumHypochloriteTrade10: HYPOCHLORITE,
  sodiumHypochloriteTrade12: HYPOCHLORITE,
  sodiumHypochloriteTrade15: HYPOCHLORITE,
  sodiumHypochloriteWeight6: HYPOCHLORITE,
  sodiumHypochloriteWeight10: HYPOCHLORITE,
  sodiumHypochloriteWeight12: HYPOCHLORITE,
  calciumHypochlorite65: CALCIUM_HYPOCHLORITE,
  calciumHypochlorite73: CALCIUM_HYPOCHLORITE,
  lithiumHypochlorite:
    '29 % of LiOCl, which is 35 % available chlorine, with chlorides and sulfates: from memory. Hardly sold any more.',
  chlorineGas: 'Formula.',
  trichlor: 'Formula; 90 % available chlorine as labels say: common practice, no source.',
  dichlor: 'Formula; 55 % available chlorine as labels say: common practice, no source.',
  dichlorAnhydrous: 'Formula; 62 % available chlorine as labels say: common practice, no source.',
  bromineTablets:
    'Formula; its chlorine counts as bromine, since it turns the bromide of the water into it: common practice, no source.',
  hydrochloricAcid31: MURIATIC,
  hydrochloricAcid15: MURIATIC,
  sulfuricAcid93: SULFURIC,
  sulfuricAcid50: SULFURIC,
  sulfuricAcid38: SULFURIC,
  sodiumBisulfate:
    'Strength from a published dose, 2.1 lb for 10 ppm of alkalinity in 10,000 gal (a course for pool operators), which is that of 95 %.',
  carbonDioxide: 'Formula.',
  sodiumBicarbonate: PURE,
  sodiumCarbonate: PURE,
  sodiumHydroxide: 'Beads of 98 %: common practice, no source.',
  sodiumHydroxide50: 'Density: from memory.',
  calciumChlorideDihydrate: CALCIUM_CHLORIDE,
  calciumChloride77: CALCIUM_CHLORIDE,
  calciumChlorideAnhydrous: 'Pellets of 94 %: common practice, no source.',
  cyanuricAcid: PURE,
  boricAcid: PURE,
  borax: PURE,
  sodiumThiosulfate:
    'Formula; 1.9 mg take up 1 mg of chlorine at pH 7: Disinfection of Pipelines and Storage Facilities Field Guide, table 7-2, second hand; that it means crystals is our reading.',
  sodiumChloride: PURE,
}
