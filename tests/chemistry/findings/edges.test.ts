// The exact edges of the judgement: what lies on a limit, a minute beside it, and what each branch says. Most of these limits
// are common practice, no source; where one is not, the profile names it.
import {
  assess,
  compareFindings,
  type Finding,
  followFindings,
  renderPhrase,
  type Snapshot,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  ACID_PUMP,
  BEFORE,
  controller,
  DAY,
  drum,
  feeder,
  find,
  GOOD,
  HOUR,
  HYPOCHLORITE_PUMP,
  hour,
  hours,
  judge,
  kinds,
  lately,
  MINUTE,
  NOW,
  profile,
  severityOf,
  snapshot,
  still,
  tested,
  withValues,
} from '../support.ts'

const text = (finding: Finding | undefined) => finding && renderPhrase(finding.sentence, 'us')
const adviceOf = (finding: Finding | undefined) =>
  finding?.advice.map((line) => renderPhrase(line, 'us')).join(' ') ?? ''
const evidenceOf = (finding: Finding | undefined) =>
  Object.fromEntries((finding?.evidence ?? []).map(({ label, quantity }) => [label, quantity.value]))

describe('pH against its set point', () => {
  const fed = { phFeedMin: 20 }
  it.each([
    ['0.15 above is within reach of the feed', 3, { ph: still(7.55), ...fed }, 'none'],
    ['over 0.15 is not', 3, { ph: still(7.56), ...fed }, 'watch'],
    ['nine minutes of an hour are feeding', 3, { ph: still(7.7), phFeedMin: 9 }, 'watch'],
    ['under nine are not', 5, { ph: still(7.7), phFeedMin: 8.9 }, 'none'],
    ['0.3 above without feed is left alone', 6, { ph: still(7.7), phFeedMin: 0 }, 'none'],
    ['over 0.3 is not', 6, { ph: still(7.71), phFeedMin: 0 }, 'act'],
    ['water that stood half of the time does not count', 6, { ph: still(7.9), ...fed, noFlowMin: 30 }, 'none'],
    ['less than half of it does', 6, { ph: still(7.9), ...fed, noFlowMin: 29 }, 'act'],
    ['nine minutes of feed, far above, are the fed case', 6, { ph: still(7.9), phFeedMin: 9 }, 'act'],
  ] as const)('%s', (_words, count, values, severity) => {
    expect(severityOf(lately(count, values), 'phNotHeld')).toBe(severity)
  })

  it.each([
    [[7.9, 7.85, 7.8], 'none'],
    [[7.9, 7.85, 7.801], 'watch'],
  ] as const)('coming back by 0.1 is no fault any more: %j is %s', (means, severity) => {
    const day = [...hours(24).slice(0, 21), ...means.map((mean, at) => hour(3 - at, { ph: still(mean), ...fed }))]
    const given = snapshot({ tests: BEFORE, feeders: [ACID_PUMP], controller: controller({}, day) })
    expect(severityOf(given, 'phNotHeld')).toBe(severity)
  })

  it.each([
    [29, 'none'],
    [30, 'watch'],
  ] as const)('the hour under way counts from half of it on: %d minutes of it are %s', (coveredMin, severity) => {
    const day = [...hours(24).slice(0, 21), ...hours(3, { ph: still(7.7), ...fed })].slice(0, 23)
    const given = snapshot({
      tests: BEFORE,
      controller: controller({}, [...day, hour(0, { ph: still(7.7), phFeedMin: coveredMin / 2, coveredMin })]),
    })
    expect(severityOf(given, 'phNotHeld')).toBe(severity)
  })

  it('one missing hour is bridged, two break the run', () => {
    const day = hours(24, { ph: still(7.7), ...fed })
    const without = (...gone: number[]) =>
      snapshot({
        tests: BEFORE,
        controller: controller(
          {},
          day.filter(({ hourMs }) => !gone.includes((NOW - hourMs) / HOUR)),
        ),
      })
    expect(text(find(without(4), 'phNotHeld'))).toContain('for 22 h')
    expect(text(find(without(4, 5), 'phNotHeld'))).toContain('for 3 h')
  })

  it('the set point is the hour’s own, or else the newest', () => {
    const own = find(lately(6, { ph: still(7.7), phSetPoint: 7.2, ...fed }, { phSetPoint: 7.5 }), 'phNotHeld')
    expect(evidenceOf(own)).toMatchObject({ 'pH set point': 7.2, 'pH, mean': 7.7 })
    expect(evidenceOf(own)['Acid feed']).toBeCloseTo(100 / 3)
    const newest = find(lately(6, { ph: still(7.7), phSetPoint: null, ...fed }, { phSetPoint: 7.5 }), 'phNotHeld')
    expect(evidenceOf(newest)).toMatchObject({ 'pH set point': 7.5 })
    expect(kinds(lately(6, { ph: still(7.7), phSetPoint: null, ...fed }, { phSetPoint: null }))).not.toContain(
      'phNotHeld',
    )
  })

  it('the run grows shorter by itself when its first hour is a day old', () => {
    expect(judge(lately(24, { ph: still(7.7), ...fed })).dueAtMs).toBe(NOW + HOUR)
  })

  it('without feed, says whether the feed is off or not reported; the drum’s level stands beside it', () => {
    const level = { atMs: NOW - DAY, levelL: 12, deliveredL: 0 }
    const pump = feeder({ role: 'ph', drum: drum('hydrochloricAcid', [level]) })
    const off = find(lately(6, { ph: still(7.8), phFeedMin: 0 }, {}, [pump]), 'phNotHeld')
    expect(text(off)).toContain('hardly any acid was fed')
    expect(adviceOf(off)).toContain('Likeliest: the controller does not feed')
    expect(adviceOf(off)).toContain('Read the controller’s mode and alarms')
    expect(adviceOf(off)).toContain('Leave the set point')
    expect(evidenceOf(off)).toMatchObject({ 'Acid feed': 0, 'Level in Drum of hydrochloricAcid': 12 })
    const unreported = find(lately(6, { ph: still(7.8), phFeedMin: null }, {}, [pump]), 'phNotHeld')
    expect(text(unreported)).toContain('does not report its acid feed')
    expect(evidenceOf(unreported)).not.toHaveProperty('Acid feed')
    expect(adviceOf(unreported)).toContain('Likeliest: the pump has lost its prime')
    const mixed = [hour(6, { ph: still(7.8), phFeedMin: 0 }), ...hours(5, { ph: still(7.8), phFeedMin: null })]
    const some = snapshot({
      tests: BEFORE,
      feeders: [pump],
      controller: controller({}, [...hours(24).slice(0, 18), ...mixed]),
    })
    expect(text(find(some, 'phNotHeld'))).toContain('hardly any acid was fed')
  })
})

describe('ORP against its set point', () => {
  const fed = { sanitizerFeedMin: 20 }
  it.each([
    ['30 mV below is within reach of the feed', 3, { orpMv: still(710), ...fed }, 'none'],
    ['more is not', 3, { orpMv: still(709.9), ...fed }, 'watch'],
    ['nine minutes of an hour are feeding', 3, { orpMv: still(700), sanitizerFeedMin: 9 }, 'watch'],
    ['under nine are not', 5, { orpMv: still(700), sanitizerFeedMin: 8.9 }, 'none'],
    ['60 mV below without feed is left alone', 6, { orpMv: still(680), sanitizerFeedMin: 0 }, 'none'],
    ['more is not', 6, { orpMv: still(679.9), sanitizerFeedMin: 0 }, 'act'],
    ['nor where nine minutes were fed: that is the fed case', 6, { orpMv: still(679), sanitizerFeedMin: 9 }, 'act'],
  ] as const)('%s', (_words, count, values, severity) => {
    expect(severityOf(lately(count, values), 'orpNotHeld')).toBe(severity)
  })

  it.each([
    [[690, 697, 705], 'none'],
    [[690, 697, 704.9], 'watch'],
  ] as const)('coming back by 15 mV is no fault any more: %j is %s', (means, severity) => {
    const day = [...hours(24).slice(0, 21), ...means.map((mean, at) => hour(3 - at, { orpMv: still(mean), ...fed }))]
    expect(severityOf(snapshot({ tests: BEFORE, controller: controller({}, day) }), 'orpNotHeld')).toBe(severity)
  })

  const BACKUP = feeder({
    role: 'backup',
    drum: drum('calciumHypochlorite', [{ atMs: NOW, levelL: 9, deliveredL: 0 }]),
  })
  it.each([
    ['six hours at 5 mV below are left alone', 6, { orpMv: still(735), backupFeedMin: 20 }, 'none'],
    ['six further below are seen', 6, { orpMv: still(734.9), backupFeedMin: 20 }, 'act'],
    ['five are not', 5, { orpMv: still(730), backupFeedMin: 20 }, 'none'],
    ['nine minutes of an hour carry the load', 6, { orpMv: still(730), backupFeedMin: 9 }, 'act'],
    ['under nine do not', 6, { orpMv: still(730), backupFeedMin: 8.9 }, 'none'],
  ] as const)('a backup that carries the load: %s', (_words, count, values, severity) => {
    const given = lately(count, { sanitizerFeedMin: 0, ...values }, {}, [HYPOCHLORITE_PUMP, BACKUP])
    expect(severityOf(given, 'backupCarries')).toBe(severity)
    expect(severityOf({ ...given, feeders: [HYPOCHLORITE_PUMP] }, 'backupCarries')).toBe('none')
  })

  it('names the feed, its share and the drums that it rests on', () => {
    const values = { orpMv: still(730), sanitizerFeedMin: 0, backupFeedMin: 15 }
    const carried = find(lately(6, values, {}, [HYPOCHLORITE_PUMP, BACKUP]), 'backupCarries')
    expect(text(carried)).toBe(
      'For 6 h the backup feeder has carried the load, 25 % of the time, with ORP at 730 mV below its set point of 740 mV: the primary sanitizer does not hold it.',
    )
    expect(evidenceOf(carried)).toEqual({
      'ORP, mean': 730,
      'ORP set point': 740,
      'Backup feed': 25,
      'Level in Drum of calciumHypochlorite': 9,
    })
    const fedOne = find(lately(6, { orpMv: still(690), sanitizerFeedMin: 30 }), 'orpNotHeld')
    expect(evidenceOf(fedOne)).toEqual({ 'ORP, mean': 690, 'ORP set point': 740, 'Sanitizer feed': 50 })
    expect(adviceOf(fedOne)).toContain('the drum is empty')
  })

  it.each([
    ['erosion', 'see how many tablets are left'],
    ['saltGenerator', 'Look at the plates'],
    ['pump', 'Look into the drum'],
  ] as const)('from a primary %s: %s', (kind, words) => {
    const others = [BACKUP, feeder({ role: 'primary', kind, drum: null })]
    expect(adviceOf(find(lately(6, { orpMv: still(690), ...fed }, {}, others), 'orpNotHeld'))).toContain(words)
  })

  it('without feed, says whether it is off or not reported, and shows the sanitizer’s drums only', () => {
    const levels = [{ atMs: NOW - DAY, levelL: 20, deliveredL: 0 }]
    const feeders = [
      feeder({ role: 'primary', drum: drum('sodiumHypochlorite', levels) }),
      feeder({ role: 'ph', drum: drum('hydrochloricAcid', levels) }),
    ]
    const off = find(lately(6, { orpMv: still(670), sanitizerFeedMin: 0 }, {}, feeders), 'orpNotHeld')
    expect(text(off)).toContain('and hardly any sanitizer was fed.')
    expect(evidenceOf(off)).toEqual({
      'ORP, mean': 670,
      'ORP set point': 740,
      'Level in Drum of sodiumHypochlorite': 20,
    })
    const silent = find(lately(6, { orpMv: still(670), sanitizerFeedMin: null }, {}, feeders), 'orpNotHeld')
    expect(text(silent)).toContain('does not report its sanitizer feed')
    const mixed = [
      hour(6, { orpMv: still(670), sanitizerFeedMin: 0 }),
      ...hours(5, { orpMv: still(670), sanitizerFeedMin: null }),
    ]
    const some = snapshot({ tests: BEFORE, feeders, controller: controller({}, [...hours(24).slice(0, 18), ...mixed]) })
    expect(text(find(some, 'orpNotHeld'))).toContain('and hardly any sanitizer was fed.')
  })

  it('the set point is the hour’s own, or else the newest', () => {
    const own = lately(6, { orpMv: still(690), orpSetPointMv: 750, ...fed }, { orpSetPointMv: 700 })
    expect(evidenceOf(find(own, 'orpNotHeld'))).toMatchObject({ 'ORP set point': 750 })
    const newest = lately(6, { orpMv: still(690), orpSetPointMv: null, ...fed }, { orpSetPointMv: 760 })
    expect(evidenceOf(find(newest, 'orpNotHeld'))).toMatchObject({ 'ORP set point': 760 })
    const none = lately(6, { orpMv: still(690), orpSetPointMv: null, ...fed }, { orpSetPointMv: null })
    expect(kinds(none)).not.toContain('orpNotHeld')
  })
})

describe('the pH probe against the test kit', () => {
  const shows = (latest: object, testedPh: number, atMs: number) =>
    snapshot({
      tests: { ...tested(GOOD), ph: { value: testedPh, atMs } },
      controller: controller({ atMs: NOW - 2 * MINUTE, ...latest }, []),
    })
  it.each([
    [7.6, 7.4, 'none'],
    [7.61, 7.4, 'watch'],
    [7.9, 7.4, 'watch'],
    [7.91, 7.4, 'act'],
    [6.9, 7.4, 'watch'],
    [6.89, 7.4, 'act'],
  ] as const)('shows %s where the kit finds %s: %s', (shown, kit, severity) => {
    expect(severityOf(shows({ ph: shown }, kit, NOW - 2 * MINUTE), 'phProbeDisagrees')).toBe(severity)
  })

  it.each([
    ['half an hour apart', { ph: 7.8 }, NOW - 32 * MINUTE, 'watch'],
    ['further apart', { ph: 7.8 }, NOW - 32 * MINUTE - 1, 'none'],
    ['half an hour before', { ph: 7.8 }, NOW + 28 * MINUTE, 'watch'],
    ['without flow at the probe', { ph: 7.8, flowOn: false }, NOW - 2 * MINUTE, 'none'],
    ['without a value', { ph: null }, NOW - 2 * MINUTE, 'none'],
  ] as const)('is compared by its newest sample, %s: %#', (_words, latest, atMs, severity) => {
    expect(severityOf(shows(latest, 7.4, atMs), 'phProbeDisagrees')).toBe(severity)
  })

  it('an hour speaks from its first moment until the next begins', () => {
    const day = [hour(3, { ph: still(7.4) }), hour(2, { ph: still(7.9) })]
    const at = (atMs: number) =>
      snapshot({ tests: { ...tested(GOOD), ph: { value: 7.4, atMs } }, controller: controller({ ph: 7.4 }, day) })
    expect(severityOf(at(NOW - 2 * HOUR - 1), 'phProbeDisagrees')).toBe('none')
    expect(severityOf(at(NOW - 2 * HOUR), 'phProbeDisagrees')).toBe('watch')
    expect(severityOf(at(NOW - HOUR - 1), 'phProbeDisagrees')).toBe('watch')
    expect(severityOf(at(NOW - HOUR), 'phProbeDisagrees')).toBe('none')
  })

  it('asks to stop the feed only where the probe reads far too high and something feeds by it', () => {
    const advice = (shown: number, feeders: Snapshot['feeders'], latest: object = { phFeedPct: null }) =>
      adviceOf(find({ ...shows({ ph: shown, ...latest }, 7.4, NOW - 2 * MINUTE), feeders }, 'phProbeDisagrees'))
    expect(advice(8, [ACID_PUMP])).toContain('Stop the pH feed by hand')
    expect(advice(8, [], { phFeedPct: 0 })).toContain('Stop the pH feed by hand')
    expect(advice(8, [])).not.toContain('Stop the pH feed')
    expect(advice(8, [HYPOCHLORITE_PUMP])).not.toContain('Stop the pH feed')
    expect(advice(6.8, [ACID_PUMP])).not.toContain('Stop the pH feed')
    expect(advice(7.9, [ACID_PUMP])).not.toContain('Stop the pH feed')
  })

  it('shows both readings', () => {
    expect(evidenceOf(find(shows({ ph: 7.8 }, 7.4, NOW - 2 * MINUTE), 'phProbeDisagrees'))).toEqual({
      'pH by test kit': 7.4,
      'pH by controller': 7.8,
    })
  })
})

describe('a controller’s value beside a test', () => {
  const heard = (latest: object, testedMinutesAgo: number) =>
    snapshot({
      tests: { ...tested(GOOD), ph: { value: 7.4, atMs: NOW - testedMinutesAgo * MINUTE } },
      controller: controller(latest, []),
    })
  it.each([
    [64, 'none'],
    [64.01, 'act'],
  ] as const)('counts when it is more than an hour newer: tested %d minutes ago, %s', (minutes, severity) => {
    expect(severityOf(heard({ ph: 7.95, atMs: NOW - 4 * MINUTE }, minutes), 'phHigh')).toBe(severity)
  })

  it('asks for a test by hand: before bathers stay where it would close, before anything is changed where not', () => {
    const closing = find(heard({ ph: 8.2 }, 300), 'phHigh')
    expect(closing?.severity).toBe('act')
    expect(adviceOf(closing)).toContain('keep bathers out until it is mended and retested')
    const sending = find(heard({ ph: 7.95 }, 300), 'phHigh')
    expect(adviceOf(sending)).toContain('Test by hand before anything is changed')
    expect(adviceOf(sending)).not.toContain('keep bathers out')
  })

  it('stands since the first hour of the run that passed its limit', () => {
    const day = [
      hour(5),
      hour(4, { ph: still(8.3) }),
      hour(3),
      hour(2, { ph: still(7.9) }),
      hour(1, { ph: still(7.95) }),
    ]
    const given = snapshot({ tests: BEFORE, controller: controller({ ph: 7.95, phSetPoint: null }, day) })
    expect(find(given, 'phHigh')?.sinceMs).toBe(NOW - 2 * HOUR)
    const gap = snapshot({ tests: BEFORE, controller: controller({ ph: 7.95 }, [hour(2, { ph: null })]) })
    expect(find(gap, 'phHigh')?.sinceMs).toBe(gap.controller?.latest?.atMs)
  })

  it('the gravest rule counts, in whatever order a profile lists them', () => {
    const rule = (key: string, value: number, effect: 'watch' | 'act' | 'close') => ({
      key,
      thing: 'ph' as const,
      side: 'max' as const,
      value,
      unit: 'pH' as const,
      effect,
      when: {},
      citation: { authority: 'practice' as const, document: '', edition: '', section: '' },
    })
    const own = {
      ...profile(),
      key: 'own',
      limits: [rule('a', 7.5, 'watch'), rule('b', 7.9, 'close'), rule('c', 7.7, 'act')],
    }
    const at = (ph: number) =>
      assess(withValues({ ph }), own, NOW).findings.find(({ kind }) => kind === 'phHigh')?.severity
    expect([7.5, 7.6, 7.8, 7.95].map(at)).toEqual([undefined, 'watch', 'act', 'close'])
  })
})

describe('what is known of the water', () => {
  const SCALING = { ph: 7.7, totalAlkalinityMgL: 175, calciumHardnessMgL: 700, tempC: 38 }
  const solids = (values: object, body: object = {}) =>
    find(withValues({ ...SCALING, ...values }, body), 'waterScaling')?.evidence.find(({ label }) =>
      label.startsWith('Dissolved'),
    )

  it.each([
    ['as measured', { tdsMgL: 1500, saltMgL: 3000 }, {}, 'Dissolved solids', 1500, 'test'],
    [
      'from salt and 500 beside it',
      { tdsMgL: undefined, saltMgL: 2500 },
      {},
      'Dissolved solids, from salt',
      3000,
      'derived',
    ],
    ['assumed as 1,000', { tdsMgL: undefined }, {}, 'Dissolved solids, assumed', 1000, 'derived'],
    [
      'of a salt generator as 4,000',
      { tdsMgL: undefined },
      { sanitizerSystem: 'saltGenerator' },
      'Dissolved solids, assumed',
      4000,
      'derived',
    ],
  ] as const)('dissolved solids %s', (_words, values, body, label, value, source) => {
    expect(solids(values, body)).toMatchObject({ label, quantity: { value }, source })
  })

  it('pH and temperature are the test’s, or else the controller’s while water flows past its probes', () => {
    const given = (latest: object) =>
      snapshot({
        tests: tested({ ...GOOD, ...SCALING, ph: undefined, tempC: undefined }),
        controller: controller({ ph: 7.7, tempC: 38, ...latest }, []),
      })
    const shown = find(given({}), 'waterScaling')
    expect(shown?.evidence.slice(1, 3)).toMatchObject([
      { label: 'pH', source: 'controller', atMs: NOW - 4 * MINUTE },
      { label: 'Water temperature', source: 'controller' },
    ])
    expect(shown?.evidence.map(({ source }) => source).slice(3)).toEqual(['test', 'derived', 'test', 'test'])
    for (const latest of [{ flowOn: false }, { ph: null }, { tempC: null }])
      expect(kinds(given(latest)), JSON.stringify(latest)).not.toContain('waterScaling')
    const own = find(withValues(SCALING), 'waterScaling')
    expect(own?.evidence.slice(1, 3).map(({ source }) => source)).toEqual(['test', 'test'])
  })

  it.each([
    [
      'corrosive',
      { ph: 7.3, totalAlkalinityMgL: 70, calciumHardnessMgL: 60 },
      'What stands lower than pools are usually held: pH, total alkalinity, calcium hardness.',
    ],
    [
      'corrosive',
      { ph: 7.4, totalAlkalinityMgL: 80, calciumHardnessMgL: 20 },
      'What stands lower than pools are usually held: calcium hardness.',
    ],
    [
      'scaling',
      { ph: 7.5, totalAlkalinityMgL: 180, calciumHardnessMgL: 900, tempC: 38 },
      'What stands higher than pools are usually held: pH, total alkalinity, calcium hardness.',
    ],
    [
      'scaling',
      { ph: 7.8, totalAlkalinityMgL: 170, calciumHardnessMgL: 200, tempC: 39 },
      'What stands higher than pools are usually held: pH, total alkalinity.',
    ],
  ] as const)('%s water names what moves it: %#', (direction, values, words) => {
    const corrosive = direction === 'corrosive'
    const advice = adviceOf(find(withValues(values), corrosive ? 'waterCorrosive' : 'waterScaling'))
    expect(advice).toContain(corrosive ? 'dissolves plaster' : 'forms scale')
    expect(advice).toContain(words)
    expect(advice.includes('Hardness falls only with softer fresh water')).toBe(
      !corrosive && words.includes('hardness'),
    )
  })

  it('high pH leads to the gas where gas is fed for it, to the acid drum where not', () => {
    const advice = (...feeders: Snapshot['feeders']) =>
      adviceOf(find({ ...withValues({ ph: 7.9 }), feeders }, 'phHigh'))
    const gas = feeder({ role: 'ph', kind: 'co2' })
    expect(advice(HYPOCHLORITE_PUMP, gas)).toContain('Look at the carbon dioxide first')
    expect(advice(ACID_PUMP)).toContain('Look at the acid drum')
    expect(advice(feeder({ role: 'primary', kind: 'co2' }))).toContain('Look at the acid drum')
  })
})

describe('chlorine and cyanuric acid', () => {
  it.each([
    ['half an hour apart', 30, 'watch'],
    ['further apart', 30.01, 'none'],
  ] as const)('combined chlorine belongs to one test: %s', (_words, minutes, severity) => {
    const given = snapshot({
      tests: {
        ...tested(GOOD),
        freeChlorineMgL: { value: 2, atMs: NOW - 2 * HOUR },
        totalChlorineMgL: { value: 2.6, atMs: NOW - 2 * HOUR + minutes * MINUTE },
      },
    })
    expect(severityOf(given, 'combinedChlorineHigh')).toBe(severity)
    if (severity === 'watch')
      expect(evidenceOf(find(given, 'combinedChlorineHigh'))).toMatchObject({
        'Free chlorine': 2,
        'Total chlorine': 2.6,
      })
  })

  it('a product without cyanuric acid is asked for only where cyanuric acid is used', () => {
    const advice = (cyanuricAcidMgL: number) =>
      adviceOf(find(withValues({ totalChlorineMgL: 3.5, cyanuricAcidMgL }), 'combinedChlorineHigh'))
    expect(advice(40)).toContain('Use a product without cyanuric acid')
    expect(advice(0)).not.toContain('without cyanuric acid')
  })

  it.each([
    [5, 'none'],
    [5.1, 'act'],
  ] as const)(
    '%s mg/L of cyanuric acid indoors, which a test can tell from none from 5 on: %s',
    (cyanuricAcidMgL, severity) => {
      const given = withValues({ cyanuricAcidMgL }, { setting: 'indoor' })
      expect(severityOf(given, 'cyanuricAcidNotAllowed')).toBe(severity)
    },
  )

  it('found where it is not allowed shows the test; only fed or entered shows none', () => {
    const found = find(withValues({ cyanuricAcidMgL: 30 }, { setting: 'indoor' }), 'cyanuricAcidNotAllowed')
    expect(found).toMatchObject({
      value: { value: 30, unit: 'mg/L' },
      limit: { side: 'max', value: 0 },
      sinceMs: NOW - 2 * HOUR,
    })
    expect(evidenceOf(found)).toEqual({ 'Cyanuric acid': 30 })
    expect(adviceOf(found)).toContain('Replace water until the test no longer finds any')
    const entered = find(withValues({}, { setting: 'indoor', cyanuricAcidUsed: true }), 'cyanuricAcidNotAllowed')
    expect(entered).toMatchObject({ value: null, evidence: [], sinceMs: NOW - 2 * HOUR })
    expect(adviceOf(entered)).not.toContain('Replace water')
    expect(text(entered)).toContain('where by common practice none is used')
    const law = find(withValues({ cyanuricAcidMgL: 30 }, { setting: 'indoor' }), 'cyanuricAcidNotAllowed', 'us-ny')
    expect(text(law)).toContain('where it is not allowed')
  })

  it.each([
    ['at the ends of what the constants hold for', { ph: 5, tempC: 0 }, true],
    ['at the other ends', { ph: 10, tempC: 50, freeChlorineMgL: 200, cyanuricAcidMgL: 1000 }, false],
    ['too acid', { ph: 4.99 }, false],
    ['too alkaline', { ph: 10.01 }, false],
    ['ice', { tempC: -0.1 }, false],
    ['too hot', { tempC: 50.1 }, false],
    ['more stabilizer than tests go', { cyanuricAcidMgL: 1000.1 }, false],
  ] as const)('the active part of the chlorine is told where it can be reckoned: %s', (_words, values, told) => {
    const water = { freeChlorineMgL: 1, cyanuricAcidMgL: 60, totalChlorineMgL: undefined, ...values }
    const slow = find(withValues(water), 'disinfectionSlow')
    if ('freeChlorineMgL' in values) return expect(slow).toBeUndefined()
    expect('Hypochlorous acid, the active part' in evidenceOf(slow)).toBe(told)
  })

  it('closes over 45:1 and says so; between 20 and 45 it does not speak of bathers', () => {
    const advice = (cyanuricAcidMgL: number) => {
      const slow = find(
        withValues({ freeChlorineMgL: 2, cyanuricAcidMgL }, { cyanuricAcidUsed: true }),
        'disinfectionSlow',
      )
      return [slow?.severity, adviceOf(slow).includes('Keep bathers out until the ratio')]
    }
    expect(advice(90.2)).toEqual(['close', true])
    expect(advice(90)).toEqual(['watch', false])
    expect(advice(40)).toEqual([undefined, false])
  })
})

describe('acid and chlorine in one pipe', () => {
  const together = (feeders: Snapshot['feeders'], values: object, body: object = {}) =>
    snapshot({
      body,
      feeders,
      controller: controller({}, [
        ...hours(24).slice(0, 23),
        hour(1, { sanitizerFeedMin: 30, phFeedMin: 40, ...values }),
      ]),
    })
  const acid = (content: 'sulfuricAcid' | 'sodiumBisulfate' | 'sodiumHypochlorite') =>
    feeder({ role: 'ph', drum: drum(content) })
  const gas = feeder({ role: 'ph', kind: 'co2', drum: drum('carbonDioxide') })
  const primary = (given: Partial<ReturnType<typeof feeder>>) => feeder({ role: 'primary', ...given })
  const backup = feeder({ role: 'backup', drum: drum('sodiumHypochlorite') })
  const cell = primary({ kind: 'saltGenerator' })
  const seen = { bothFeedsMin: 10 }

  it.each([
    ['acid and hypochlorite', [ACID_PUMP, HYPOCHLORITE_PUMP], seen, 'act'],
    [
      'sulfuric acid and tablets of an erosion feeder',
      [acid('sulfuricAcid'), primary({ kind: 'erosion', drum: drum('trichlor') })],
      seen,
      'act',
    ],
    ['bisulfate and a drum that nobody entered', [acid('sodiumBisulfate'), primary({})], seen, 'act'],
    ['five minutes, one sample', [ACID_PUMP, HYPOCHLORITE_PUMP], { bothFeedsMin: 5 }, 'none'],
    ['more than one sample', [ACID_PUMP, HYPOCHLORITE_PUMP], { bothFeedsMin: 5.1 }, 'act'],
    ['carbon dioxide', [gas, HYPOCHLORITE_PUMP], seen, 'none'],
    ['a pH drum that holds no acid', [acid('sodiumHypochlorite'), HYPOCHLORITE_PUMP], seen, 'none'],
    ['a primary drum that holds no chlorine', [ACID_PUMP, primary({ drum: drum('hydrochloricAcid') })], seen, 'none'],
    ['a generator has none in its pipe', [ACID_PUMP, cell], seen, 'none'],
    ['a gas feeder as primary', [ACID_PUMP, primary({ kind: 'co2' })], seen, 'none'],
    ['one of two primaries is enough', [ACID_PUMP, cell, HYPOCHLORITE_PUMP], seen, 'act'],
    ['one of two pH feeders is enough', [gas, ACID_PUMP, HYPOCHLORITE_PUMP], seen, 'act'],
    [
      'a backup beside a generator that is off',
      [ACID_PUMP, cell, backup],
      { ...seen, sanitizerFeedMin: 0, backupFeedMin: 30 },
      'act',
    ],
    [
      'a backup beside a generator: what they must have shared',
      [ACID_PUMP, cell, backup],
      { ...seen, backupFeedMin: 26 },
      'act',
    ],
    ['no more than a sample of it', [ACID_PUMP, cell, backup], { ...seen, backupFeedMin: 25 }, 'none'],
    ['no backup feed', [ACID_PUMP, cell, backup], { ...seen, backupFeedMin: null }, 'none'],
    ['a backup, and no acid fed', [ACID_PUMP, cell, backup], { ...seen, backupFeedMin: 60, phFeedMin: null }, 'none'],
  ] as const)('%s', (_words, feeders, values, severity) => {
    expect(severityOf(together([...feeders], values), 'acidWithHypochlorite')).toBe(severity)
  })

  it('counts as these two where feeders were never entered, and asks for them', () => {
    const unentered = find(together([], seen), 'acidWithHypochlorite')
    expect(text(unentered)).toContain('what the feeders hold is not entered')
    expect(adviceOf(unentered)).toContain('Enter the feeders')
    const half = find(together([ACID_PUMP], seen), 'acidWithHypochlorite')
    expect(text(half)).toContain('what the feeders hold is not entered')
    const entered = find(together([ACID_PUMP, HYPOCHLORITE_PUMP], seen), 'acidWithHypochlorite')
    expect(text(entered)).toContain('Acid and a chlorine product were fed at the same time for at least 10 min')
    expect(adviceOf(entered)).not.toContain('Enter the feeders')
    expect(entered).toMatchObject({
      limit: { side: 'max', value: 0, unit: 'min', citation: { authority: 'practice' } },
      evidence: [{ label: 'Both fed in the hour', quantity: { value: 10, unit: 'min' } }],
    })
    expect(kinds(together([], seen, { sanitizerSystem: 'saltGenerator' }))).not.toContain('acidWithHypochlorite')
    expect(kinds(together([], seen, { sanitizerSystem: 'bromine' }))).not.toContain('acidWithHypochlorite')
  })

  it('is told for a day from each hour', () => {
    const given = { ...together([ACID_PUMP, HYPOCHLORITE_PUMP], seen), tests: tested(GOOD, 0) }
    const gone = kinds(given, undefined, NOW - HOUR + DAY)
    expect(gone).not.toContain('acidWithHypochlorite')
    expect(kinds(given, undefined, NOW - HOUR + DAY - 1)).toContain('acidWithHypochlorite')
  })
})

describe('feed without flow', () => {
  const METER_STANDS = { noFlowMin: null, feedWithoutFlowMin: null, flowLMin: still(10, 1) }
  const byMeter = (values: object) =>
    snapshot({
      controller: controller({ flowOn: null, flowLMin: 10 }, [
        ...hours(24).slice(0, 23),
        hour(1, { ...METER_STANDS, ...values }),
      ]),
    })
  it.each([
    ['sanitizer', { sanitizerFeedMin: 20, phFeedMin: null }],
    ['backup', { sanitizerFeedMin: null, backupFeedMin: 20, phFeedMin: 3 }],
    ['acid', { sanitizerFeedMin: 4, phFeedMin: 20 }],
  ])('by the meter counts the longest feed: %s', (_feed, values) => {
    const fed = find(byMeter(values), 'feedWithoutFlow')
    expect(fed?.value).toEqual({ value: 20, unit: 'min' })
  })

  it('is not told by a meter where a switch tells', () => {
    expect(kinds(byMeter({ noFlowMin: 0, sanitizerFeedMin: 20 }))).not.toContain('feedWithoutFlow')
  })

  it.each([
    [45, 'off'],
    [45.1, 'on'],
  ] as const)('a twentieth of the usual flow is none: %s of 900 L/min is %s', (flowLMin, flow) => {
    const given = snapshot({ controller: controller({ flowOn: null, flowLMin }, []) })
    expect(kinds(given).includes('noFlow')).toBe(flow === 'off')
  })
})

describe('what each value out of range leads to', () => {
  const shows = (latest: object, tests = BEFORE) => snapshot({ tests, controller: controller(latest, []) })
  it.each([
    ['orpOutOfRange', shows({ orpMv: 550 }), 'clean the probe'],
    ['orpOutOfRange', shows({ orpMv: 950 }), 'never adjust the ORP probe to agree'],
    ['totalChlorineHigh', withValues({ totalChlorineMgL: 30 }), 'Test free chlorine from the same vial'],
    ['freeChlorineHigh', withValues({ freeChlorineMgL: 12, totalChlorineMgL: 12 }), 'Stop the sanitizer feed'],
    ['bromineHigh', withValues({ bromineMgL: 12 }, { sanitizerSystem: 'bromine' }), 'Stop the sanitizer feed'],
    ['cyanuricAcidHigh', withValues({ cyanuricAcidMgL: 120 }, { cyanuricAcidUsed: true }), 'replace part of the water'],
    ['alkalinityHigh', withValues({ totalAlkalinityMgL: 200 }), 'alkalinity'],
    ['calciumHigh', withValues({ calciumHardnessMgL: 1200 }), 'softer water'],
    ['temperatureHigh', withValues({ tempC: 41 }), 'heater'],
  ] as const)('%s: %#', (kind, given, words) => {
    const all = [undefined, 'us-ny', 'us-dc', 'au-vic', 'ca-qc']
      .map((key) => find(given, kind, key))
      .filter((one) => one !== undefined)
    expect(all.length, kind).toBeGreaterThan(0)
    for (const found of all) {
      expect(found.cautions).toContain('localCodeFirst')
      expect(adviceOf(found).toLowerCase()).toContain(words.toLowerCase())
    }
  })

  it('speaks of set points and probes only where a controller shows the value', () => {
    const low = { freeChlorineMgL: 0.5, totalChlorineMgL: 0.6 }
    const advice = (values: object, kind: 'freeChlorineLow' | 'phHigh', latest?: object) =>
      adviceOf(find({ ...withValues(values), controller: latest ? controller(latest, []) : null }, kind))
    expect(advice(low, 'freeChlorineLow', {})).toContain('move the set point in small steps')
    expect(advice(low, 'freeChlorineLow', { orpMv: null })).not.toContain('move the set point')
    expect(advice(low, 'freeChlorineLow')).not.toContain('move the set point')
    expect(advice({ ph: 7.9 }, 'phHigh', { ph: 7.9 })).toContain('Leave the pH set point where it is')
    expect(advice({ ph: 7.9 }, 'phHigh', { ph: null })).not.toContain('set point')
    expect(advice({ ph: 7.9 }, 'phHigh')).not.toContain('set point')
  })

  it('the index stands as of the newest of what it rests on', () => {
    const tests = {
      ...tested({ ph: 7.8, totalAlkalinityMgL: 175, calciumHardnessMgL: 900 }, 9),
      ...tested({ tempC: 38, freeChlorineMgL: 2 }, 2),
    }
    expect(find(snapshot({ tests }), 'waterScaling')?.sinceMs).toBe(NOW - 2 * HOUR)
  })

  it('nothing flowing shows what the meter and the clock say of it', () => {
    const day = [...hours(24).slice(0, 23), hour(1, { noFlowMin: 40 })]
    const stands = find(snapshot({ controller: controller({ flowOn: false, flowLMin: 3 }, day) }), 'noFlow')
    expect(evidenceOf(stands)).toEqual({ Flow: 3, 'Without flow': 36 })
    const silent = find(snapshot({ controller: controller({ flowOn: false, flowLMin: null }, []) }), 'noFlow')
    expect(evidenceOf(silent)).toEqual({})
    const doubtful = find(snapshot({ controller: controller({ flowOn: true, flowLMin: 0 }, []) }), 'flowSwitchStuck')
    expect(doubtful).toMatchObject({ severity: 'act', sinceMs: NOW - 4 * MINUTE })
    expect(evidenceOf(doubtful)).toEqual({ Flow: 0 })
    expect(doubtful?.cautions).toEqual(expect.arrayContaining(['localCodeFirst', 'clearBathersBeforeFlow']))
    const parted = find(snapshot({ controller: controller({ flowOn: false, flowLMin: 900 }, []) }), 'noFlow')
    expect(text(parted)).toContain('although the flow meter shows 238 gpm')
  })

  it('fed without flow: every hour of it, until two hours after the last and a day after each', () => {
    const day = [
      ...hours(24).slice(0, 20),
      hour(4, { feedWithoutFlowMin: 12 }),
      hour(3, { feedWithoutFlowMin: 20 }),
      hour(2),
      hour(1),
    ]
    const given = snapshot({ tests: tested(GOOD, 0), controller: controller({}, day) })
    const fed = find(given, 'feedWithoutFlow')
    expect(fed?.evidence.map(({ quantity, atMs }) => [quantity.value, atMs])).toEqual([
      [12, NOW - 4 * HOUR],
      [20, NOW - 3 * HOUR],
    ])
    expect(fed).toMatchObject({ severity: 'act', value: { value: 32, unit: 'min' }, limit: { side: 'max', value: 0 } })
    const at = (ms: number) => severityOf(given, 'feedWithoutFlow', undefined, ms)
    expect([NOW - HOUR, NOW - HOUR + 1].map(at)).toEqual(['close', 'act'])
    expect(judge(given, undefined, NOW - HOUR).dueAtMs).toBe(NOW - HOUR + 1)
    expect([NOW - 3 * HOUR + DAY - 1, NOW - 3 * HOUR + DAY].map(at)).toEqual(['act', 'none'])
  })
})

describe('how long a test speaks', () => {
  const at = (hoursAgo: number, values: object = GOOD) => snapshot({ tests: tested(values, hoursAgo) })
  it.each([
    [36, 'none'],
    [36.001, 'unheard'],
  ] as const)('a daily test for a day and half of it: %d h ago is %s', (hoursAgo, severity) => {
    expect(severityOf(at(hoursAgo), 'testOverdue')).toBe(severity)
  })

  it.each([
    [192, 'none'],
    [192.001, 'watch'],
  ] as const)('a weekly one for eight days, not for a week and a half: %d h ago is %s', (hoursAgo, severity) => {
    const given = snapshot({
      tests: { ...tested(GOOD), ...tested({ totalAlkalinityMgL: 100, calciumHardnessMgL: 250 }, hoursAgo) },
    })
    expect(severityOf(given, 'testOverdue')).toBe(severity)
  })

  it.each([
    [60, 'none'],
    [60.1, 'unheard'],
  ] as const)('clocks may differ by an hour: a test %d minutes ahead is %s', (minutes, severity) => {
    expect(severityOf(at(-minutes / 60), 'testOverdue')).toBe(severity)
  })

  it.each([
    [
      { totalAlkalinityMgL: undefined },
      'Total alkalinity and calcium hardness must be tested every 7 days, and total alkalinity never was.',
    ],
    [
      { totalAlkalinityMgL: undefined, calciumHardnessMgL: undefined },
      'Total alkalinity and calcium hardness must be tested every 7 days, and neither ever was.',
    ],
  ])('says what never was tested: %#', (values, words) => {
    const old = tested({ ...GOOD, ...values }, 300)
    expect(text(find(snapshot({ tests: { ...old, ...tested({ freeChlorineMgL: 2, ph: 7.4 }) } }), 'testOverdue'))).toBe(
      words,
    )
  })

  it.each([
    [200, '192 h', 'more than 8 days old'],
    [300, '300 h', 'more than 10 days old'],
  ])('tells an age in steps: tested %d hours ago', (hoursAgo, _exact, words) => {
    const given = snapshot({ tests: { ...tested(GOOD, hoursAgo), ...tested({ freeChlorineMgL: 2, ph: 7.4 }) } })
    expect(text(find(given, 'testOverdue'))).toContain(words)
  })

  it.each([
    [1.5, 'more than 36 h old'],
    [2, 'more than 36 h old'],
    [2.01, 'more than 2 days old'],
    [44, 'more than 30 days old'],
    [731, 'more than 730 days old'],
    [9000, 'more than 730 days old'],
  ])('%d days are %s', (days, words) => {
    const given = snapshot({ tests: tested(GOOD, days * 24 + 0.001) })
    expect(text(find(given, 'testOverdue'))).toContain(days === 2 ? 'more than 2 days old' : words)
  })

  it.each([
    [5, 'act'],
    [4.99, 'unheard'],
    [10, 'act'],
    [10.01, 'unheard'],
  ] as const)('a controller stands in for pH by what a working probe can show: %s is %s', (ph, severity) => {
    const given = snapshot({ tests: BEFORE_LONG, controller: controller({ ph }, []) })
    expect(severityOf(given, 'testOverdue')).toBe(severity)
  })

  it.each([
    [300, null, 'act'],
    [299, null, 'unheard'],
    [1000, null, 'act'],
    [1001, null, 'unheard'],
    [null, 0, 'act'],
    [null, 20, 'act'],
    [null, 20.1, 'unheard'],
  ] as const)('and for sanitizer: ORP %s, chlorine %s is %s', (orpMv, freeChlorineMgL, severity) => {
    const given = snapshot({ tests: BEFORE_LONG, controller: controller({ orpMv, freeChlorineMgL }, []) })
    expect(severityOf(given, 'testOverdue')).toBe(severity)
  })

  it('the controller that stands in is said to replace no test', () => {
    const given = snapshot({ tests: BEFORE_LONG, controller: controller({}, []) })
    expect(adviceOf(find(given, 'testOverdue'))).toContain('it does not replace the test')
    expect(adviceOf(find(at(60), 'testOverdue'))).not.toContain('stands in')
  })
})
/** Older than any daily test may be, with the rest still recent. */
const BEFORE_LONG = { ...tested(GOOD, 1), ...tested({ freeChlorineMgL: 2.5, totalChlorineMgL: 2.6, ph: 7.4 }, 60) }

describe('what became of findings', () => {
  const finding = (kind: Finding['kind'], family: Finding['family'], severity: Finding['severity'], subject = '') =>
    ({ kind, family, severity, subject }) as Finding
  const worst = finding('noFlow', 'hazard', 'act')
  const inOrder = [
    finding('freeChlorineLow', 'sanitizer', 'close'),
    worst,
    finding('bromineHigh', 'sanitizer', 'act'),
    finding('bromineLow', 'sanitizer', 'act'),
    finding('phHigh', 'balance', 'act'),
    finding('drumLow', 'supply', 'act', 'a'),
    finding('drumLow', 'supply', 'act', 'b'),
    finding('testOverdue', 'evidence', 'unheard'),
    finding('alkalinityLow', 'balance', 'watch'),
  ]

  it('stands worst first; among equals hazards, then by family, kind and subject', () => {
    expect([...inOrder].reverse().sort(compareFindings)).toEqual(inOrder)
    const shuffled = [4, 0, 8, 2, 6, 1, 7, 3, 5].map((at) => inOrder[at] as Finding)
    expect(shuffled.sort(compareFindings)).toEqual(inOrder)
    for (const one of inOrder) expect(compareFindings(one, { ...one })).toBe(0)
  })

  it('is told in that order: opened, seen again, closed', () => {
    const known = [finding('phHigh', 'balance', 'act'), finding('phLow', 'balance', 'act')]
    const { opened, seen, closed } = followFindings(known, [...inOrder].reverse())
    expect(opened).toEqual(inOrder.filter(({ kind }) => kind !== 'phHigh'))
    expect(seen.map(({ known: { kind } }) => kind)).toEqual(['phHigh'])
    expect(closed.map(({ kind }) => kind)).toEqual(['phLow'])
  })
})
