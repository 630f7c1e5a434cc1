import { renderPhrase } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  controller,
  drum,
  feeder,
  find,
  GOOD,
  HOUR,
  hour,
  hours,
  kinds,
  NOW,
  severityOf,
  snapshot,
  still,
  tested,
  withValues,
} from '../support.ts'

describe('free chlorine under the minimum', () => {
  // MAHC 5.7.3.1.1.2 minima 1, 2, 3; which water has which: California 22 CCR 65529(b)
  it.each([
    ['pool', 'outdoor', false, 0.9, 'close'],
    ['pool', 'outdoor', false, 1.0, 'none'],
    ['pool', 'outdoor', false, 1.1, 'none'],
    ['pool', 'outdoor', true, 1.9, 'close'],
    ['pool', 'outdoor', true, 2.0, 'none'],
    ['pool', 'outdoor', true, 2.1, 'none'],
    ['spa', 'indoor', false, 2.9, 'close'],
    ['spa', 'indoor', false, 3.0, 'none'],
    ['spa', 'outdoor', true, 2.9, 'close'],
    ['wading', 'outdoor', false, 2.9, 'close'],
    ['wading', 'outdoor', false, 3.0, 'none'],
    ['splash', 'outdoor', false, 2.9, 'close'],
    ['therapy', 'indoor', false, 0.9, 'close'],
    ['therapy', 'indoor', false, 2.9, 'act'],
    ['therapy', 'indoor', false, 3.0, 'none'],
  ] as const)(
    '%s %s, cyanuric acid used %s, at %s mg/L: %s',
    (useClass, setting, cyanuricAcidUsed, value, severity) => {
      const given = withValues(
        { freeChlorineMgL: value, totalChlorineMgL: value },
        { useClass, setting, cyanuricAcidUsed },
      )
      expect(severityOf(given, 'freeChlorineLow')).toBe(severity)
      if (useClass !== 'therapy') expect(severityOf(given, 'freeChlorineLow', 'us-ca')).toBe(severity)
    },
  )

  it('asks for the higher minimum when cyanuric acid was found, whatever the record says', () => {
    const given = withValues({ freeChlorineMgL: 1.5, totalChlorineMgL: 1.5, cyanuricAcidMgL: 20 })
    expect(find(given, 'freeChlorineLow')?.limit?.value).toBe(2)
  })

  it('asks for the higher minimum when trichlor is fed, before a test finds cyanuric acid', () => {
    const tests = tested({ ...GOOD, freeChlorineMgL: 1.5, totalChlorineMgL: 1.5 })
    const feeders = [feeder({ role: 'primary', kind: 'erosion', drum: drum('trichlor') })]
    expect(find(snapshot({ tests, feeders }), 'freeChlorineLow')).toMatchObject({
      severity: 'close',
      limit: { value: 2 },
    })
    const unstabilized = [feeder({ role: 'primary', kind: 'erosion', drum: drum('calciumHypochlorite') })]
    expect(kinds(snapshot({ tests, feeders: unstabilized }))).not.toContain('freeChlorineLow')
  })

  it('says number, limit and whose limit in one sentence', () => {
    const low = find(
      withValues({ freeChlorineMgL: 1.5, totalChlorineMgL: 1.6 }, { useClass: 'spa' }),
      'freeChlorineLow',
    )
    expect(low && renderPhrase(low.sentence, 'us')).toBe(
      'Free chlorine 1.5 ppm is under the minimum of 3.0 ppm for a spa.',
    )
    expect(low?.limit?.citation).toMatchObject({ authority: 'law', document: 'CDC Model Aquatic Health Code' })
    expect(low?.limit?.citation.section).toContain('65529')
    expect(low?.sinceMs).toBe(NOW - 2 * HOUR)
    expect(low?.cautions).toContain('neverTogether')
  })

  it('stays until it is retested, and tells its age when it is old', () => {
    const old = snapshot({ tests: tested({ ...GOOD, freeChlorineMgL: 0.4 }, 24 * 12 + 1) })
    const low = find(old, 'freeChlorineLow')
    expect(low?.severity).toBe('close')
    expect(low && renderPhrase(low.sentence, 'us')).toContain('measured more than 10 days ago and not retested since')
    expect(severityOf(snapshot(), 'freeChlorineLow')).toBe('none')
  })

  it('is not said of water on bromine', () => {
    const given = withValues({ freeChlorineMgL: 0.1, bromineMgL: 5 }, { sanitizerSystem: 'bromine' })
    expect(kinds(given)).not.toContain('freeChlorineLow')
  })

  it('by a controller alone sends a person and closes nothing: the test kit is the reference', () => {
    const day = hours(24, { freeChlorineMgL: still(0.4) })
    const given = snapshot({ tests: tested(GOOD, 5), controller: controller({ freeChlorineMgL: 0.4 }, day) })
    const low = find(given, 'freeChlorineLow')
    expect(low?.severity).toBe('act')
    expect(low && renderPhrase(low.sentence, 'metric')).toMatch(/^The controller shows free chlorine 0.4 mg\/L/)
    expect(low?.sinceMs).toBe(NOW - 23 * HOUR)
  })

  it('never says that the ORP probe be adjusted to agree', () => {
    const given = snapshot({ tests: tested({ ...GOOD, freeChlorineMgL: 0.4 }), controller: controller() })
    const advice = find(given, 'freeChlorineLow')
      ?.advice.map(({ text }) => text)
      .join(' ')
    expect(advice).toContain('move the set point')
    expect(advice).toContain('Never adjust the ORP probe')
  })
})

describe('free chlorine over the maximum', () => {
  it.each([
    // MAHC 5th edition 6.3.3.1: more than 10 with bathers present
    ['cdc-mahc', 'outdoor', 8.0, 'none'],
    ['cdc-mahc', 'outdoor', 8.1, 'watch'],
    ['cdc-mahc', 'outdoor', 10.0, 'watch'],
    ['cdc-mahc', 'outdoor', 10.1, 'close'],
    ['cdc-mahc', 'indoor', 5.0, 'none'],
    ['cdc-mahc', 'indoor', 5.1, 'watch'],
    ['us-ca', 'outdoor', 10.0, 'watch'],
    ['us-ca', 'outdoor', 10.1, 'close'],
    // DCMR 25-C404: at most 5 indoors, 10 else
    ['us-dc', 'indoor', 5.0, 'none'],
    ['us-dc', 'indoor', 5.1, 'act'],
    ['us-dc', 'outdoor', 5.1, 'none'],
  ] as const)('%s %s at %s mg/L: %s', (key, setting, value, severity) => {
    const given = withValues({ freeChlorineMgL: value, totalChlorineMgL: value }, { setting })
    expect(severityOf(given, 'freeChlorineHigh', key)).toBe(severity)
  })
})

describe('bromine', () => {
  it.each([
    ['cdc-mahc', 'pool', 1.9, 'close'],
    ['cdc-mahc', 'pool', 2.0, 'act'],
    ['cdc-mahc', 'pool', 3.0, 'none'],
    ['cdc-mahc', 'spa', 3.9, 'close'],
    ['cdc-mahc', 'spa', 4.0, 'none'],
    ['us-ca', 'pool', 1.9, 'close'],
    ['us-ca', 'spa', 3.9, 'close'],
    ['us-dc', 'pool', 1.4, 'close'],
    ['us-dc', 'pool', 1.5, 'act'],
  ] as const)('%s %s at %s mg/L: %s', (key, useClass, bromineMgL, severity) => {
    const values = { bromineMgL, freeChlorineMgL: undefined, totalChlorineMgL: undefined }
    expect(severityOf(withValues(values, { useClass, sanitizerSystem: 'bromine' }), 'bromineLow', key)).toBe(severity)
  })

  it.each([
    [8.0, 'none'],
    [8.1, 'watch'],
    [10.0, 'watch'],
    [10.1, 'act'],
  ] as const)('over: at %s mg/L %s', (bromineMgL, severity) => {
    expect(severityOf(withValues({ bromineMgL }, { sanitizerSystem: 'bromine' }), 'bromineHigh')).toBe(severity)
  })

  it('does not excuse too much free chlorine', () => {
    const given = withValues({ bromineMgL: 4, freeChlorineMgL: 10.1 }, { sanitizerSystem: 'bromine' })
    expect(severityOf(given, 'freeChlorineHigh')).toBe('close')
  })

  it('is not asked of water on chlorine', () => {
    expect(kinds(withValues({ bromineMgL: 0 }))).not.toContain('bromineLow')
  })
})

describe('combined chlorine', () => {
  it.each([
    ['cdc-mahc', 2.0, 2.4, 'none'], // 0.4 in the decimals of a test kit
    ['cdc-mahc', 5.0, 5.4, 'none'], // 0.40000000000000036 in binary
    ['cdc-mahc', 2.0, 2.5, 'watch'],
    ['cdc-mahc', 2.0, 3.0, 'watch'],
    ['cdc-mahc', 2.0, 3.1, 'act'],
    ['us-dc', 2.0, 2.4, 'none'],
    ['us-dc', 2.0, 2.5, 'act'],
  ] as const)('%s free %s, total %s: %s', (key, freeChlorineMgL, totalChlorineMgL, severity) => {
    expect(severityOf(withValues({ freeChlorineMgL, totalChlorineMgL }), 'combinedChlorineHigh', key)).toBe(severity)
  })

  it('is not made up from two different tests, nor from a total below free', () => {
    const apart = snapshot({
      tests: { ...tested({ ...GOOD, totalChlorineMgL: undefined }), ...tested({ totalChlorineMgL: 5 }, 30) },
    })
    expect(kinds(apart)).not.toContain('combinedChlorineHigh')
    expect(kinds(withValues({ freeChlorineMgL: 3, totalChlorineMgL: 2 }))).not.toContain('combinedChlorineHigh')
    expect(kinds(withValues({ totalChlorineMgL: undefined }))).not.toContain('combinedChlorineHigh')
  })
})

describe('disinfection too slow for the cyanuric acid present', () => {
  const stabilized = { cyanuricAcidUsed: true }
  it.each([
    // MAHC 4th edition: a ratio greater than 45:1 closes
    [2, 90, 'watch'], // 45.0
    [2, 91, 'close'], // 45.5
    [2.2, 99, 'watch'], // 45.0 that binary arithmetic does not make exact
    [2, 40, 'none'], // 20.0, the usual maximum
    [2, 41, 'watch'],
    [2, 5, 'none'], // what the test cannot tell from none
  ] as const)('free chlorine %s, cyanuric acid %s: %s', (freeChlorineMgL, cyanuricAcidMgL, severity) => {
    const values = { freeChlorineMgL, totalChlorineMgL: freeChlorineMgL, cyanuricAcidMgL }
    expect(severityOf(withValues(values, stabilized), 'disinfectionSlow')).toBe(severity)
  })

  it('shows the active part of the chlorine as evidence', () => {
    const slow = find(withValues({ freeChlorineMgL: 2, cyanuricAcidMgL: 91 }, stabilized), 'disinfectionSlow')
    const active = slow?.evidence.find(({ source }) => source === 'derived')
    expect(active?.quantity.value).toBeGreaterThan(0.005)
    expect(active?.quantity.value).toBeLessThan(0.02)
    expect(slow?.value).toEqual({ value: 45.5, unit: 'ratio' })
  })

  it('with no chlorine at all closes without a ratio', () => {
    const slow = find(withValues({ freeChlorineMgL: 0, totalChlorineMgL: 0, cyanuricAcidMgL: 60 }), 'disinfectionSlow')
    expect(slow).toMatchObject({ severity: 'close', value: null })
    expect(slow && renderPhrase(slow.sentence, 'us')).not.toMatch(/NaN|Infinity|\{/)
  })

  it('tells the age of what was not retested', () => {
    const tests = { ...tested(GOOD), ...tested({ cyanuricAcidMgL: 120 }, 24 * 200) }
    const slow = find(snapshot({ tests }), 'disinfectionSlow')
    expect(slow && renderPhrase(slow.sentence, 'us')).toMatch(
      /active\. Cyanuric acid was measured more than 180 days ago and not retested since\.$/,
    )
    const both = find(snapshot({ tests: tested({ ...GOOD, cyanuricAcidMgL: 120 }, 24 * 200) }), 'disinfectionSlow')
    expect(both && renderPhrase(both.sentence, 'us')).toMatch(
      /Free chlorine was measured more than 180 days ago .* Cyanuric acid was measured more than 180 days ago/,
    )
    const fresh = find(snapshot({ tests: tested({ ...GOOD, cyanuricAcidMgL: 120 }) }), 'disinfectionSlow')
    expect(fresh?.sentence.text).toMatch(/active\.$/)
  })

  it('is not said without a cyanuric acid test, nor of bromine', () => {
    expect(kinds(withValues({}, stabilized))).not.toContain('disinfectionSlow')
    const bromine = withValues({ cyanuricAcidMgL: 200, bromineMgL: 5 }, { sanitizerSystem: 'bromine' })
    expect(kinds(bromine)).not.toContain('disinfectionSlow')
  })
})

describe('cyanuric acid', () => {
  it.each([
    [90, 'none'],
    [91, 'watch'],
    [299, 'watch'],
    // MAHC 5th edition 5.7.3.1.3.3: 300 or more "requires immediate remediation"; closing is not said
    [300, 'act'],
    [301, 'act'],
  ] as const)('at %s mg/L: %s', (cyanuricAcidMgL, severity) => {
    const given = withValues({ cyanuricAcidMgL, freeChlorineMgL: 9 }, { cyanuricAcidUsed: true })
    expect(severityOf(given, 'cyanuricAcidHigh')).toBe(severity)
  })

  it('at the limit itself says so', () => {
    const high = find(withValues({ cyanuricAcidMgL: 300, freeChlorineMgL: 9 }), 'cyanuricAcidHigh')
    expect(high && renderPhrase(high.sentence, 'us')).toBe('Cyanuric acid 300 ppm is at or over the limit of 300 ppm.')
  })

  it.each([
    ['pool', 'indoor', 30, 'act'],
    ['spa', 'outdoor', 30, 'act'],
    ['therapy', 'outdoor', 30, 'act'],
    ['pool', 'outdoor', 30, 'none'],
    ['pool', 'indoor', 5, 'none'],
    ['pool', 'indoor', undefined, 'none'],
  ] as const)('in a %s %s with %s mg/L: %s', (useClass, setting, cyanuricAcidMgL, severity) => {
    const given = withValues({ cyanuricAcidMgL, freeChlorineMgL: 4 }, { useClass, setting })
    expect(severityOf(given, 'cyanuricAcidNotAllowed')).toBe(severity)
  })

  it('is named when a stabilized product is fed where none belongs, before a test finds it', () => {
    const fed = [feeder({ role: 'primary', kind: 'erosion', drum: drum('trichlor') })]
    expect(severityOf(snapshot({ body: { setting: 'indoor' }, feeders: fed }), 'cyanuricAcidNotAllowed')).toBe('act')
    expect(severityOf(snapshot({ feeders: fed }), 'cyanuricAcidNotAllowed')).toBe('none')
  })

  it('says where in plain words', () => {
    const found = find(withValues({ cyanuricAcidMgL: 30 }, { setting: 'indoor' }), 'cyanuricAcidNotAllowed')
    expect(found && renderPhrase(found.sentence, 'us')).toBe(
      'Cyanuric acid 30 ppm was found in an indoor pool, where by common practice none is used.',
    )
  })

  it('is allowed in Californian spas, whose minimum holds with or without it', () => {
    const given = withValues({ cyanuricAcidMgL: 30, freeChlorineMgL: 4 }, { useClass: 'spa' })
    expect(severityOf(given, 'cyanuricAcidNotAllowed', 'us-ca')).toBe('none')
  })
})

describe('ORP out of range', () => {
  it('keeps the rule of the trade, and tells when it was last heard', () => {
    const day = hours(24, { orpMv: still(560), orpSetPointMv: null })
    const given = snapshot({ controller: controller({ orpMv: 560, orpSetPointMv: null }, day) })
    const heard = find(given, 'orpOutOfRange')
    expect(heard && renderPhrase(heard.sentence, 'us')).toBe(
      'The controller shows ORP 560 mV, under the usual minimum of 600 mV.',
    )
    const advice = heard?.advice.map(({ text }) => text).join(' ')
    expect(advice).toContain('clean the probe and give it time')
    expect(advice).toContain('never adjust the ORP probe to agree')
    const later = find(given, 'orpOutOfRange', undefined, NOW + 5 * HOUR)
    expect(later && renderPhrase(later.sentence, 'us')).toBe(
      'More than 4 h ago, when last heard, the controller showed ORP 560 mV, under the usual minimum of 600 mV.',
    )
  })

  it('waits for half of the hour under way before it leaves the hour before', () => {
    const under = { orpMv: still(560) }
    const begun = (coveredMin: number) =>
      snapshot({
        controller: controller({ orpMv: 560 }, [...hours(24).slice(0, 23), hour(1, { ...under, coveredMin })]),
      })
    expect(kinds(begun(15))).not.toContain('orpOutOfRange')
    expect(severityOf(begun(30), 'orpOutOfRange')).toBe('act')
  })

  it.each([
    [599, 'act'],
    [600, 'watch'],
    [649, 'watch'],
    [650, 'none'],
    [900, 'none'],
    [901, 'act'],
  ] as const)('at %s mV: %s', (orpMv, severity) => {
    const day = hours(24, { orpMv: still(orpMv), orpSetPointMv: null })
    const given = snapshot({ controller: controller({ orpMv, orpSetPointMv: null }, day) })
    expect(severityOf(given, 'orpOutOfRange')).toBe(severity)
  })

  it('is not said of one sample against its hour, nor of a cell without flow', () => {
    expect(kinds(snapshot({ controller: controller({ orpMv: 500 }) }))).not.toContain('orpOutOfRange')
    const day = hours(24, { orpMv: still(400), noFlowMin: 60 })
    expect(kinds(snapshot({ controller: controller({ orpMv: 400, flowOn: false }, day) }))).not.toContain(
      'orpOutOfRange',
    )
  })
})
