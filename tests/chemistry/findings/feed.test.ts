import { renderPhrase } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  ACID_PUMP,
  BEFORE,
  controller,
  drum,
  feeder,
  find,
  GOOD,
  HOUR,
  HYPOCHLORITE_PUMP,
  hour,
  hours,
  kinds,
  lately,
  NOW,
  severityOf,
  snapshot,
  still,
  tested,
} from '../support.ts'

/** A day in which ORP sank slowly while sanitizer was fed, as water does; not within the hour, as probes do. */
const SUNK = hours(24).map((one, index) =>
  index < 4 ? one : { ...one, orpMv: still(740 - Math.min(50, (index - 3) * 4)), sanitizerFeedMin: 24 },
)

// common practice, no source: with acid feed, pH stands at or below its set point; else suspect the acid drum or its pump
describe('pH set point not held', () => {
  const fed = { phFeedMin: 20 }
  it.each([
    [2, 7.7, fed, 'none'],
    [3, 7.7, fed, 'watch'],
    [6, 7.7, fed, 'act'],
    [6, 7.55, fed, 'none'], // within reach of a proportional feed
    [6, 7.3, fed, 'none'],
    [6, 7.7, { phFeedMin: 8 }, 'none'], // hardly fed, and not far off
    [5, 7.75, { phFeedMin: 0 }, 'none'],
    [6, 7.75, { phFeedMin: 0 }, 'act'],
    [6, 7.75, { phFeedMin: null }, 'act'],
  ] as const)('%s h at %s with %j: %s', (count, ph, feed, severity) => {
    expect(severityOf(lately(count, { ph: still(ph), ...feed }), 'phNotHeld')).toBe(severity)
  })

  it('suspects the acid drum, then its pump, and leaves the set point', () => {
    const finding = find(lately(8, { ph: still(7.8), phFeedMin: 24 }), 'phNotHeld')
    expect(finding && renderPhrase(finding.sentence, 'us')).toBe(
      'pH has stood at 7.8, above its set point of 7.4, for 8 h although acid was fed 40 % of the time.',
    )
    expect(finding?.causes?.slice(0, 2).map(({ cause }) => cause)).toEqual(['drumEmpty', 'lostPrime'])
    expect(finding?.advice[0]?.text).toContain('Likeliest: the drum is empty')
    expect(finding?.bring?.[0]?.text).toBe('chemical for the drum')
    expect(finding?.advice.map(({ text }) => text).join(' ')).toContain('Leave the set point')
    expect(finding?.sinceMs).toBe(NOW - 8 * HOUR)
  })

  it('speaks of carbon dioxide where that is fed, which has no suction and chokes', () => {
    const gas = feeder({ role: 'ph', kind: 'co2', drum: drum('carbonDioxide') })
    const finding = find(lately(8, { ph: still(7.8), phFeedMin: 24 }, {}, [HYPOCHLORITE_PUMP, gas]), 'phNotHeld')
    expect(finding && renderPhrase(finding.sentence, 'us')).toContain('although carbon dioxide was fed 40 %')
    const advice = finding?.advice.map(({ text }) => text).join(' ')
    expect(finding?.causes?.[0]?.cause).toBe('cylinderEmpty')
    expect(advice).toContain('cylinder is empty or shut')
    expect(advice).toContain('Ventilate before you go in')
    expect(advice).not.toMatch(/acid|suction/)
    expect(finding?.cautions).not.toContain('acidIntoWater')
  })

  it('shows the last level of the acid drum', () => {
    const acid = feeder({
      role: 'ph',
      drum: drum('hydrochloricAcid', [{ atMs: NOW - 30 * HOUR, levelL: 4, deliveredL: 0 }]),
    })
    const finding = find(lately(8, { ph: still(7.8), phFeedMin: 24 }, {}, [HYPOCHLORITE_PUMP, acid]), 'phNotHeld')
    expect(finding?.evidence.map(({ quantity }) => quantity)).toContainEqual({ value: 4, unit: 'L' })
  })

  it.each([
    [
      'pH is coming back',
      hours(24).map((one, index) =>
        index < 18 ? one : { ...one, ph: still(8.1 - (index - 18) * 0.05), phFeedMin: 20 },
      ),
    ],
    ['nothing flows', hours(24, { ph: still(7.9), phFeedMin: 20, noFlowMin: 50 })],
    [
      'the hours lie too far apart',
      [
        hour(9, { ph: still(7.9), phFeedMin: 20 }),
        hour(5, { ph: still(7.9), phFeedMin: 20 }),
        hour(1, { ph: still(7.9), phFeedMin: 20 }),
      ],
    ],
    ['the newest hour is at its set point', [...hours(24, { ph: still(7.9), phFeedMin: 20 }).slice(0, 23), hour(1)]],
    ['there is no set point', hours(24, { ph: still(7.9), phFeedMin: 20, phSetPoint: null })],
  ] as const)('is not said when %s', (_case, day) => {
    const given = snapshot({
      tests: BEFORE,
      feeders: [ACID_PUMP],
      controller: controller({ phSetPoint: null }, [...day]),
    })
    expect(kinds(given)).not.toContain('phNotHeld')
  })

  it('is judged by what the water is where the test kit found the probe too high', () => {
    const day = hours(24, { ph: still(7.8), phFeedMin: 24 })
    const by = (ph: number) =>
      snapshot({ tests: tested({ ...GOOD, ph }), feeders: [ACID_PUMP], controller: controller({ ph: 7.8 }, day) })
    expect(kinds(by(7.4))).toContain('phProbeDisagrees')
    expect(kinds(by(7.4))).not.toContain('phNotHeld')
    expect(severityOf(by(7.8), 'phNotHeld')).toBe('act')
    // too low: the water stands even higher than shown
    expect(severityOf(by(8.2), 'phNotHeld')).toBe('act')
  })

  it('is not said of a body without acid feed', () => {
    expect(kinds(lately(12, { ph: still(7.8), phFeedMin: null }, {}, [HYPOCHLORITE_PUMP]))).not.toContain('phNotHeld')
  })
})

// common practice, no source: with chlorine feed, ORP stands at or above its set point
describe('ORP set point not held', () => {
  const fed = { sanitizerFeedMin: 24 }
  it.each([
    [2, 700, fed, 'none'],
    [3, 700, fed, 'watch'],
    [6, 700, fed, 'act'],
    [6, 709, fed, 'act'],
    [6, 711, fed, 'none'],
    [6, 750, fed, 'none'],
    [6, 700, { sanitizerFeedMin: 5 }, 'none'], // below, but not feeding: nothing was tried
    [6, 700, { sanitizerFeedMin: null }, 'none'],
    [5, 675, { sanitizerFeedMin: 5 }, 'none'],
    [6, 681, { sanitizerFeedMin: 5 }, 'none'],
    [6, 675, { sanitizerFeedMin: 5 }, 'act'], // far below, and the controller does not feed
    [6, 675, { sanitizerFeedMin: null }, 'act'],
  ] as const)('%s h at %s mV with %j: %s', (count, orpMv, feed, severity) => {
    expect(severityOf(lately(count, { orpMv: still(orpMv), ...feed }), 'orpNotHeld')).toBe(severity)
  })

  it('suspects drum and pump, and moves the set point, never the probe', () => {
    const given = snapshot({
      tests: BEFORE,
      feeders: [HYPOCHLORITE_PUMP, ACID_PUMP],
      controller: controller({}, SUNK),
    })
    const finding = find(given, 'orpNotHeld')
    expect(finding?.causes?.slice(0, 2).map(({ cause }) => cause)).toEqual(['drumEmpty', 'lostPrime'])
    expect(finding?.advice[0]?.text).toContain('Likeliest: the drum is empty')
    expect(finding?.advice.map(({ text }) => text).join(' ')).toContain('move the set point, never the probe')
    expect(finding && renderPhrase(finding.sentence, 'us')).toContain('below its set point of 740 mV, for 13 h')
  })

  it('suspects the probe first where ORP fell within the hour: water takes longer', () => {
    const finding = find(lately(8, { orpMv: still(690), sanitizerFeedMin: 24 }), 'orpNotHeld')
    expect(finding?.causes?.[0]?.cause).toBe('probeReadsLow')
    expect(finding && renderPhrase(finding.sentence, 'us')).toContain('below its set point of 740 mV, for 8 h')
  })

  it.each([
    [5, 'probeReadsLow'],
    [0.8, 'drumEmpty'],
  ] as const)('goes by the test kit: %s mg/L since says %s', (since, cause) => {
    const test = (hoursAgo: number, sanitizerMgL: number) => ({
      atMs: NOW - hoursAgo * HOUR,
      sanitizerMgL,
      ph: 7.4,
      saltMgL: null,
    })
    const given = {
      ...lately(8, { orpMv: still(690), sanitizerFeedMin: 24 }),
      pastTests: [test(140, 2.4), test(120, 2.6), test(100, 2.5), test(3, since)],
    }
    expect(find(given, 'orpNotHeld')?.causes?.[0]?.cause).toBe(cause)
  })

  it('far below and unfed asks why nothing is fed, and never touches the probe', () => {
    const finding = find(lately(8, { orpMv: still(660), sanitizerFeedMin: 0 }), 'orpNotHeld')
    expect(finding && renderPhrase(finding.sentence, 'us')).toBe(
      'ORP has stood at 660 mV, below its set point of 740 mV, for 8 h, and hardly any sanitizer was fed.',
    )
    const advice = finding?.advice.map(({ text }) => text).join(' ')
    expect(finding?.causes?.[0]?.cause).toBe('outputOff')
    expect(advice).toContain('the controller does not feed: switched off')
    expect(advice).toContain('Never adjust the ORP probe')
    const unreported = find(lately(8, { orpMv: still(660), sanitizerFeedMin: null }), 'orpNotHeld')
    expect(unreported?.sentence.text).toContain('does not report its sanitizer feed')
    const dry = { orpMv: still(660), sanitizerFeedMin: 0, noFlowMin: 60 }
    expect(kinds(lately(8, dry))).not.toContain('orpNotHeld')
  })

  it('is not ended by the hour under way, in which its turn has not come', () => {
    const day = hours(24, { orpMv: still(690), sanitizerFeedMin: 24 })
    const begun = { coveredMin: 10, orpMv: still(690), sanitizerFeedMin: 0 }
    const underWay = [...day.slice(0, 23), hour(1, begun)]
    expect(kinds(snapshot({ feeders: [HYPOCHLORITE_PUMP], controller: controller({}, underWay) }))).toContain(
      'orpNotHeld',
    )
    const whole = [...day.slice(0, 23), hour(1, { ...begun, coveredMin: 60 })]
    expect(kinds(snapshot({ feeders: [HYPOCHLORITE_PUMP], controller: controller({}, whole) }))).not.toContain(
      'orpNotHeld',
    )
  })

  it('looks at the cell of a salt generator', () => {
    const feeders = [feeder({ role: 'primary', kind: 'saltGenerator' }), ACID_PUMP]
    const given = snapshot({ tests: BEFORE, feeders, controller: controller({}, SUNK) })
    const finding = find(given, 'orpNotHeld')
    expect(finding?.causes?.map(({ cause }) => cause)).toEqual(expect.arrayContaining(['cellScaled', 'saltLow']))
    expect(finding?.advice[0]?.text).toContain('cell is scaled or worn out')
  })

  it('says when the backup carries the load', () => {
    const feeders = [
      feeder({ role: 'primary', kind: 'saltGenerator' }),
      feeder({ role: 'backup', drum: drum('sodiumHypochlorite') }),
    ]
    const carried = { orpMv: still(725), sanitizerFeedMin: 60, backupFeedMin: 15 }
    const finding = find(lately(6, carried, {}, feeders), 'backupCarries')
    expect(finding && renderPhrase(finding.sentence, 'us')).toContain('the backup feeder has carried the load')
    expect(kinds(lately(5, carried, {}, feeders))).not.toContain('backupCarries')
    expect(kinds(lately(12, { ...carried, backupFeedMin: 2 }, {}, feeders))).not.toContain('backupCarries')
    expect(kinds(lately(12, { ...carried, orpMv: still(738) }, {}, feeders))).not.toContain('backupCarries')
  })

  it('is not said while ORP climbs back', () => {
    const day = hours(24).map((one, index) =>
      index < 20 ? one : { ...one, orpMv: still(670 + (index - 20) * 10), sanitizerFeedMin: 24 },
    )
    expect(kinds(snapshot({ feeders: [HYPOCHLORITE_PUMP], controller: controller({}, day) }))).not.toContain(
      'orpNotHeld',
    )
  })
})
