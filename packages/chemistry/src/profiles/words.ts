import type { Phrase, Quantified } from '../finding.ts'
import type { Condition, LimitRule, TestRule } from '../profile.ts'
import type { ClosureTrigger, SanitizerSystem, UseClass } from '../vocabulary.ts'
import { LIMITED_THING_WORDS, listed, midSentence } from '../words.ts'
import type { AnyRule } from './difference.ts'
import { BROMINE, CHLORINE } from './limits.ts'

export const EFFECT_WORDS: Record<LimitRule['effect'], string> = {
  close: 'closed to bathers',
  act: 'a person today',
  watch: 'watch',
}

export const CLOSURE_WORDS: Record<ClosureTrigger, string> = {
  treatmentStopped: 'Filtration or disinfection stands still or fails',
  bottomNotVisible: 'The bottom, or its drain, cannot be seen',
  // the only one of them that was read with a number: Québec, Q-2, r. 39, s. 17
  turbid: 'Turbidity is over 5 NTU',
  fecesOrVomit: 'Feces or vomit in the water',
}

const USE_WORDS: Record<UseClass, string> = {
  pool: 'swimming pools',
  spa: 'spas',
  wading: 'wading pools',
  splash: 'splash pads',
  therapy: 'therapy pools',
}
const SANITIZER_WORDS: Record<SanitizerSystem, string> = {
  hypochlorite: 'hypochlorite',
  erosion: 'erosion feeders',
  saltGenerator: 'salt chlorine generators',
  bromine: 'bromine',
}

const plain = (text: string): Phrase => ({ text, quantities: [] })
const withOne = (text: string, quantity: Quantified): Phrase => ({ text, quantities: [quantity] })

/** Phrases in a row; the open places are numbered on. */
export function joinPhrases(phrases: readonly Phrase[], between: string): Phrase {
  const quantities: Quantified[] = []
  const texts = phrases
    .filter(({ text }) => text !== '')
    .map((phrase) => {
      const from = quantities.length
      quantities.push(...phrase.quantities)
      return phrase.text.replace(/\{(\d+)\}/g, (_, index) => `{${Number(index) + from}}`)
    })
  return { text: texts.join(between), quantities }
}

/** Which water a rule is about: `spas and wading pools; chlorine`; '' for all. */
export function conditionPhrase(when: Condition & { automated?: boolean }): Phrase {
  const { useClass, setting, cyanuricAcidUsed, sanitizerSystem, over, automated } = when
  return joinPhrases(
    [
      plain(useClass ? listed(useClass.map((word) => USE_WORDS[word])) : ''),
      plain(setting ?? ''),
      plain(sanitizerSystem ? sanitizerWords(sanitizerSystem) : ''),
      plain(cyanuricAcidUsed === undefined ? '' : cyanuricAcidUsed ? 'with cyanuric acid' : 'without cyanuric acid'),
      overPhrase(over),
      plain(automated === undefined ? '' : automated ? 'with a controller' : 'without a controller'),
    ],
    '; ',
  )
}

function overPhrase(over: Condition['over']): Phrase {
  if (!over) return plain('')
  return over.thing === 'ph'
    ? withOne('at a pH over {0}', { value: over.value, unit: 'pH' })
    : withOne('water over {0}', { value: over.value, unit: '°C' })
}

function sanitizerWords(systems: readonly SanitizerSystem[]): string {
  const are = (all: readonly SanitizerSystem[]) =>
    systems.length === all.length && all.every((one) => systems.includes(one))
  if (are(CHLORINE)) return 'chlorine'
  if (are(BROMINE)) return 'bromine'
  return listed(systems.map((word) => SANITIZER_WORDS[word]))
}

/** What a limit asks for: `at least 1.0 ppm`. */
export function limitPhrase({ side, value, unit, inclusive, lastingHours }: LimitRule): Phrase {
  const words = inclusive ? { min: 'over {0}', max: 'under {0}' } : { min: 'at least {0}', max: 'at most {0}' }
  const asked = withOne(words[side], { value, unit })
  if (lastingHours === undefined) return asked
  return joinPhrases([asked, withOne('not passed for more than {0}', { value: lastingHours, unit: 'h' })], ', ')
}

/** How often a test is asked for: `3 times a day, from half an hour before opening`. */
export function testPhrase({ everyHours, perDay, times }: TestRule): Phrase {
  return joinPhrases([perDay ? plain(perDayWords(perDay)) : everyPhrase(everyHours), plain(times ?? '')], ', ')
}

const perDayWords = (perDay: number) =>
  perDay === 1 ? 'once a day' : perDay === 2 ? 'twice a day' : `${perDay} times a day`

function everyPhrase(hours: number): Phrase {
  if (hours === 24) return plain('every day')
  if (hours === 168) return plain('every week')
  if (hours % 168 === 0) return plain(`every ${hours / 168} weeks`)
  if (hours % 24 === 0) return withOne('every {0}', { value: hours / 24, unit: 'd' })
  return withOne('every {0}', { value: hours, unit: 'h' })
}

/** What a rule asks for, whatever its sort. */
export function askedPhrase(any: AnyRule): Phrase {
  if (any.sort === 'limit') return limitPhrase(any.rule)
  return any.sort === 'test' ? testPhrase(any.rule) : plain('not allowed')
}

/** The name of a rule, from what it is about; no two rules of a profile have the same. */
export function ruleName(any: AnyRule): Phrase {
  return joinPhrases([plain(subjectWords(any)), conditionPhrase(any.rule.when)], ': ')
}

function subjectWords(any: AnyRule): string {
  switch (any.sort) {
    case 'limit': {
      const { thing, side, effect, lastingHours } = any.rule
      const lasting = lastingHours === undefined ? '' : ' that lasts'
      return `${LIMITED_THING_WORDS[thing]}, ${side === 'min' ? 'minimum' : 'maximum'}${lasting} (${EFFECT_WORDS[effect]})`
    }
    case 'test':
      return `Test of ${listed(any.rule.parameters.map((parameter) => midSentence(LIMITED_THING_WORDS[parameter])))}`
    case 'forbidden':
      return 'No cyanuric acid'
  }
}
