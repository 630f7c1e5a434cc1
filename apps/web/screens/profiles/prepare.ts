import { formatQuantity, type LimitRule, type Parameter, type TestRule } from '@sightglass/chemistry'
import type { Profile } from '@sightglass/contract'
import type { System } from '../../shared/measure.ts'
import { plainNumber } from '../../shared/numbers.ts'
import { citationWords } from '../../shared/phrase.ts'
import { SANITIZER_WORDS, SETTING_WORDS, thingWords, USE_CLASS_WORDS } from '../../shared/words.ts'

export interface RuleModel {
  key: string
  what: string
  value: string
  effect: string
  when: string
  citation: string
  own: boolean
}

const EFFECT_WORDS = { close: 'close to bathers', act: 'a person today', watch: 'watch' }

/** Every rule of a profile in words: limits, tests, and where cyanuric acid may not be used. */
export function prepareProfile(profile: Profile, system: System) {
  const limits = profile.limits.map(
    (rule): RuleModel => ({
      key: rule.key,
      what: thingWords(rule.thing),
      value: `${rule.side === 'min' ? 'at least' : 'at most'} ${formatQuantity(rule, system)}`,
      effect: EFFECT_WORDS[rule.effect],
      ...common(rule),
    }),
  )
  const tests = profile.tests.map(
    (rule): RuleModel => ({
      key: rule.key,
      what: (rule.parameters as Parameter[]).map((parameter) => thingWords(parameter)).join(', '),
      value: everyWords(rule.everyHours),
      effect: 'test by hand',
      ...common(rule),
    }),
  )
  const forbidden = profile.cyanuricAcidForbidden.map(
    (rule): RuleModel => ({
      key: rule.key,
      what: 'Cyanuric acid',
      value: 'not allowed',
      effect: '',
      ...common(rule),
    }),
  )
  return { limits, tests, forbidden }
}

const common = ({ when, citation }: Pick<Profile['limits'][number], 'when' | 'citation'>) => ({
  when: whenWords(when),
  citation: citationWords(citation),
  own: citation.authority === 'company',
})

export const everyWords = (hours: number) => {
  if (hours % 168 === 0) return hours === 168 ? 'every week' : `every ${hours / 168} weeks`
  if (hours % 24 === 0) return hours === 24 ? 'every day' : `every ${hours / 24} days`
  return `every ${plainNumber(hours, 1)} h`
}

/** Whom a rule concerns: `Spa; outdoor`; '' for all. */
export function whenWords(when: TestRule['when'] | LimitRule['when']): string {
  const parts = [
    when.useClass?.map((use) => USE_CLASS_WORDS[use].toLowerCase()).join(' or '),
    when.setting && SETTING_WORDS[when.setting],
    when.sanitizerSystem?.map((sanitizer) => SANITIZER_WORDS[sanitizer].toLowerCase()).join(' or '),
    when.cyanuricAcidUsed !== undefined && (when.cyanuricAcidUsed ? 'with cyanuric acid' : 'without cyanuric acid'),
    'automated' in when &&
      when.automated !== undefined &&
      (when.automated ? 'with a controller' : 'without a controller'),
  ].filter(Boolean)
  return parts.join('; ')
}

/** The rules that a company can set for itself, with the value and unit that they have now. */
export function derivable(profile: Profile, system: System) {
  const { limits, tests, forbidden } = prepareProfile(profile, system)
  const withUnit = (model: RuleModel, unit: string, value: number | null) => ({
    ...model,
    unit,
    valueNow: value,
    title: `${model.what}: ${model.value}${model.when && ` (${model.when})`}`,
  })
  return [
    ...limits.map((model, index) => {
      const rule = profile.limits[index]
      return withUnit(model, rule?.unit ?? '', rule?.value ?? null)
    }),
    ...tests.map((model, index) => withUnit(model, 'h', profile.tests[index]?.everyHours ?? null)),
    ...forbidden.map((model) => withUnit(model, '', null)),
  ]
}
