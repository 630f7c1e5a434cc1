import type { DrumContent } from '../vocabulary.ts'

/** What stands in a drum, within a sentence. */
export const DRUM_CONTENT_WORDS: Record<DrumContent, string> = {
  sodiumHypochlorite: 'sodium hypochlorite',
  calciumHypochlorite: 'calcium hypochlorite',
  trichlor: 'trichlor tablets',
  bromineTablets: 'bromine tablets',
  hydrochloricAcid: 'hydrochloric acid',
  sulfuricAcid: 'sulfuric acid',
  sodiumBisulfate: 'sodium bisulfate',
  carbonDioxide: 'carbon dioxide',
}
