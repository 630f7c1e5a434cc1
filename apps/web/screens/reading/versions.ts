import { PARAMETERS } from '@sightglass/chemistry'
import type { Reading } from '@sightglass/contract'
import { type System, thingText } from '../../shared/measure.ts'
import { displayWords } from '../../shared/phrase.ts'
import { exactTime } from '../../shared/time.ts'
import { METHOD_WORDS, PARAMETER_SHORT } from '../../shared/words.ts'

/** One version of a test in a line. */
export function versionWords(version: Reading, system: System, zone: string, nowMs: number) {
  const values = PARAMETERS.flatMap((parameter) => {
    const value = version.values[parameter]
    return value === undefined ? [] : [`${PARAMETER_SHORT[parameter]} ${thingText(parameter, value, system)}`]
  })
  const display = displayWords(version)
  const stored = `entered ${exactTime(version.createdAt, zone, nowMs)}`
  const replaced = version.replacedAt ? `, replaced ${exactTime(version.replacedAt, zone, nowMs)}` : ''
  return {
    when: exactTime(version.at, zone, nowMs),
    values: [...values, display && `display ${display}`].filter(Boolean).join(', '),
    who: `${version.person}, ${METHOD_WORDS[version.method].toLowerCase()}; ${stored}${replaced}${version.reason ? `; ${version.reason}` : ''}`,
  }
}
