import type { DrumFacts } from '../snapshot.ts'
import type { DrumContent } from '../vocabulary.ts'

/** The usual strength and density of what stands in drums. Labels differ: the entered strength comes first. */
const USUAL: Record<DrumContent, { strengthPct: number; gPerLPerPct: number }> = {
  // trade per cent: grams of chlorine in 100 mL, by definition
  sodiumHypochlorite: { strengthPct: 12, gPerLPerPct: 10 },
  // grams of chlorine in a litre of hopper: 0.8 and 0.95 kg of tablets to the litre; from memory
  calciumHypochlorite: { strengthPct: 65, gPerLPerPct: 8 },
  trichlor: { strengthPct: 90, gPerLPerPct: 9.5 },
  // as bromine, 0.9 kg to the litre; from memory
  bromineTablets: { strengthPct: 100, gPerLPerPct: 9 },
  // grams of acid: density 1.16, 1.28 and 1.2 kg/L; from memory
  hydrochloricAcid: { strengthPct: 31.45, gPerLPerPct: 11.6 },
  sulfuricAcid: { strengthPct: 38, gPerLPerPct: 12.8 },
  sodiumBisulfate: { strengthPct: 25, gPerLPerPct: 12 },
  carbonDioxide: { strengthPct: 100, gPerLPerPct: 7.5 },
}

/** Grams of active substance in a litre of drum content: chlorine as Cl2, bromine as Br2, acid or gas as itself. */
export const activeGPerL = ({ content, strengthPct }: Pick<DrumFacts, 'content' | 'strengthPct'>): number =>
  (strengthPct ?? USUAL[content].strengthPct) * USUAL[content].gPerLPerPct

/** Milliequivalents of acid in a gram of it, by molar mass; carbon dioxide as one proton. */
const MEQ_PER_G: Partial<Record<DrumContent, number>> = {
  hydrochloricAcid: 1000 / 36.46,
  sulfuricAcid: 2000 / 98.08,
  sodiumBisulfate: 1000 / 120.06,
  carbonDioxide: 1000 / 44.01,
}
/** meq of acid in a litre of drum content; 0 for what is no acid. */
export const acidMeqPerL = (drum: Pick<DrumFacts, 'content' | 'strengthPct'>): number =>
  activeGPerL(drum) * (MEQ_PER_G[drum.content] ?? 0)

/** Kilograms in a litre of what is loaded by weight, as it lies in a hopper or a cylinder; null for what is poured. */
export function loadedKgPerL({ content }: Pick<DrumFacts, 'content'>): number | null {
  const byWeight = ['calciumHypochlorite', 'trichlor', 'bromineTablets', 'carbonDioxide'].includes(content)
  return byWeight ? USUAL[content].gPerLPerPct / 10 : null
}
