import { type FeederFacts, renderPhrase } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  ACID_PUMP,
  controller,
  DAY,
  drum,
  feeder,
  find,
  HOUR,
  HYPOCHLORITE_PUMP,
  hour,
  hours,
  judge,
  kinds,
  MINUTE,
  NOW,
  severityOf,
  snapshot,
} from '../support.ts'

describe('no flow', () => {
  const standing = (minutes: number, latest: object = { flowOn: false }) =>
    snapshot({ controller: controller(latest, [...hours(24).slice(0, 23), hour(1, { noFlowMin: minutes })]) })

  it.each([
    [6, 'none'], // a backwash
    [15, 'none'],
    [16, 'close'],
    [60, 'close'],
  ] as const)('for %s minutes: %s', (minutes, severity) => {
    expect(severityOf(standing(minutes), 'noFlow')).toBe(severity)
  })

  it('closes by MAHC 6.6.3.1 item 5 and tells to clear bathers before flow returns', () => {
    const finding = find(standing(30), 'noFlow')
    expect(finding?.limit?.citation).toMatchObject({ authority: 'law', section: '6.6.3.1 item 5' })
    expect(finding?.cautions).toContain('clearBathersBeforeFlow')
  })

  it('begins with the first hour of the unbroken run', () => {
    const day = hours(24).map((one, index) => (index >= 20 ? { ...one, noFlowMin: 60 } : one))
    expect(find(snapshot({ controller: controller({ flowOn: false }, day) }), 'noFlow')?.sinceMs).toBe(NOW - 4 * HOUR)
  })

  it('does not count the minutes that the newest sample speaks for and that have not passed yet', () => {
    const at = NOW + 30 * MINUTE
    const since = (minutesAgo: number) =>
      snapshot({
        controller: controller({ flowOn: false, atMs: at - MINUTE }, [
          ...hours(23),
          // on until then, off in every sample since; the newest speaks for 15 minutes
          hour(0, { coveredMin: 44, noFlowMin: minutesAgo + 14 }),
        ]),
      })
    expect(severityOf(since(1), 'noFlow', undefined, at)).toBe('none')
    expect(severityOf(since(15), 'noFlow', undefined, at)).toBe('none')
    expect(severityOf(since(16), 'noFlow', undefined, at)).toBe('close')
    // one sample, and then silence
    expect(severityOf(since(1), 'noFlow', undefined, at + 15 * MINUTE)).toBe('close')
  })

  it('stays when the controller then falls silent, even after a short stop', () => {
    const given = snapshot({
      controller: controller({ flowOn: false, atMs: NOW - 5 * HOUR }, [hour(6), hour(5, { noFlowMin: 5 })]),
    })
    const finding = find(given, 'noFlow')
    expect(finding?.severity).toBe('close')
    expect(finding && renderPhrase(finding.sentence, 'us')).toContain('Nothing was heard since, more than 4 h ago')
  })

  it('is seen by a flow meter where there is no switch', () => {
    const meter = { flowOn: null, flowLMin: 3 }
    const day = hours(24, { noFlowMin: null, flowLMin: { min: 0, mean: 2, max: 4 } })
    expect(severityOf(snapshot({ controller: controller(meter, day) }), 'noFlow')).toBe('close')
    expect(kinds(snapshot({ controller: controller({ flowOn: null, flowLMin: 850 }) }))).not.toContain('noFlow')
  })

  it('is seen by a flow meter within the hour in which it stopped, once that is longer than a short stop', () => {
    const stopped = (share: number) => {
      const flowLMin = { min: 0, mean: 900 * (1 - share), max: 900 }
      const day = [...hours(23, { noFlowMin: null }), hour(1, { noFlowMin: null, flowLMin })]
      return snapshot({ controller: controller({ flowOn: null, flowLMin: 0 }, day) })
    }
    expect(severityOf(stopped(0.2), 'noFlow')).toBe('none')
    expect(severityOf(stopped(0.5), 'noFlow')).toBe('close')
  })

  it('sends a person when the switch shows flow and the meter none: a switch that sticks lets feeders run', () => {
    const day = hours(24, { flowLMin: { min: 0, mean: 1, max: 3 } })
    const doubtful = find(snapshot({ controller: controller({ flowLMin: 2 }, day) }), 'flowSwitchStuck')
    expect(doubtful?.severity).toBe('act')
    expect(doubtful && renderPhrase(doubtful.sentence, 'metric')).toBe(
      'The flow switch shows flow although the flow meter shows 2 L/min: one of them is wrong.',
    )
    expect(doubtful?.advice.map(({ text }) => text).join(' ')).toContain('stop all feeds by hand and keep bathers out')
    // one sample of a meter that starts, and a meter that is not there
    expect(kinds(snapshot({ controller: controller({ flowLMin: 0 }) }))).not.toContain('flowSwitchStuck')
    expect(kinds(snapshot({ controller: controller({ flowLMin: null }) }))).not.toContain('flowSwitchStuck')
  })

  it('says so when the switch shows no flow and the meter shows some, and still counts it as none', () => {
    const parted = find(standing(30, { flowOn: false, flowLMin: 850 }), 'noFlow')
    expect(parted?.severity).toBe('close')
    expect(parted?.sentence.text).toContain('although the flow meter shows {0}')
    expect(parted?.sentence.quantities[0]).toEqual({ value: 850, unit: 'L/min' })
    expect(find(standing(30, { flowOn: false, flowLMin: 0 }), 'noFlow')?.sentence.text).not.toContain('flow meter')
  })

  it('is not said when flow is on, or not reported', () => {
    expect(kinds(snapshot({ controller: controller() }))).not.toContain('noFlow')
    expect(kinds(standing(60, { flowOn: true }))).not.toContain('noFlow')
    expect(kinds(snapshot({ controller: controller({ flowOn: null, flowLMin: null }) }))).not.toContain('noFlow')
  })
})

describe('feed without flow', () => {
  const fed = (minutes: number, hoursAgo: number, latest: object = {}) =>
    snapshot({
      controller: controller(latest, [
        ...hours(24).slice(0, 24 - hoursAgo),
        hour(hoursAgo, { feedWithoutFlowMin: minutes, noFlowMin: 30 }),
        ...hours(hoursAgo - 1),
      ]),
    })

  it.each([
    [5, 1, {}, 'none'], // one five-minute sample: a switch that lags
    [6, 1, {}, 'close'],
    [20, 2, {}, 'close'],
    [20, 3, {}, 'act'],
    [20, 3, { flowOn: false }, 'close'],
    [0, 1, { flowOn: false }, 'none'],
  ] as const)('%s minutes, %s h ago, %j: %s', (minutes, hoursAgo, latest, severity) => {
    expect(severityOf(fed(minutes, hoursAgo, latest), 'feedWithoutFlow')).toBe(severity)
  })

  it('says whose rule it is: law where the text was read, practice elsewhere', () => {
    // Wyoming 010-4 § 4-11 and Indiana 675 IAC 14-4.3-295
    expect(find(fed(20, 1), 'feedWithoutFlow')?.limit).toMatchObject({
      side: 'max',
      value: 0,
      citation: { authority: 'practice', document: expect.stringContaining('675 IAC 14-4.3-295') },
    })
  })

  it('tells to clear bathers before flow returns', () => {
    const finding = find(fed(20, 1, { flowOn: false }), 'feedWithoutFlow')
    expect(finding?.cautions[0]).toBe('clearBathersBeforeFlow')
    expect(finding && renderPhrase(finding.sentence, 'us')).toContain('Get bathers out before flow returns')
    expect(finding?.value).toEqual({ value: 20, unit: 'min' })
  })

  it('does not close for one sample, whose feed counts ahead until the next', () => {
    const at = NOW + 30 * MINUTE
    const latest = { flowOn: false, sanitizerFeedPct: 100, atMs: at - MINUTE }
    const samples = (feedWithoutFlowMin: number) =>
      snapshot({ controller: controller(latest, [...hours(23), hour(0, { coveredMin: 44, feedWithoutFlowMin })]) })
    expect(severityOf(samples(15), 'feedWithoutFlow', undefined, at)).toBe('none')
    expect(severityOf(samples(20), 'feedWithoutFlow', undefined, at)).toBe('close')
  })

  it('adds up little feed over hours on end, but not over single lags of a switch', () => {
    const little = { feedWithoutFlowMin: 3, noFlowMin: 60 }
    const night = [...hours(24).slice(0, 16), hour(8, little), hour(7, little), ...hours(6)]
    expect(find(snapshot({ controller: controller({}, night) }), 'feedWithoutFlow')).toMatchObject({
      severity: 'act',
      value: { value: 6, unit: 'min' },
      sinceMs: NOW - 8 * HOUR,
    })
    const lags = [hour(20, little), ...hours(9).slice(0, 1), hour(8, little), ...hours(5)]
    expect(kinds(snapshot({ controller: controller({}, lags) }))).not.toContain('feedWithoutFlow')
  })

  it('is seen by a flow meter that stood all the hour where there is no switch', () => {
    const blind = { noFlowMin: null, feedWithoutFlowMin: null }
    const stood = { ...blind, flowLMin: { min: 0, mean: 0, max: 0 }, sanitizerFeedMin: 30 }
    const given = snapshot({
      controller: controller({ flowOn: null }, [...hours(22, blind), hour(2, stood), hour(1, blind)]),
    })
    expect(find(given, 'feedWithoutFlow')).toMatchObject({ severity: 'close', value: { value: 30 } })
  })

  it.each([
    ['off', { flowOn: false }, 1, 'close', /it may lie in the pipe\. Get bathers out before flow returns\.$/],
    ['on again', {}, 1, 'close', /flow has returned: it comes out at the inlets\. Get bathers out now\.$/],
    ['on for hours', {}, 6, 'act', /flow has returned since\.$/],
    ['not reported', { flowOn: null, flowLMin: null }, 6, 'close', /nobody knows whether it flows now/],
  ] as const)('says what to do with flow %s', (_case, latest, hoursAgo, severity, words) => {
    const finding = find(fed(20, hoursAgo, latest), 'feedWithoutFlow')
    expect(finding?.severity).toBe(severity)
    expect(finding && renderPhrase(finding.sentence, 'us')).toMatch(words)
    const advice = finding?.advice.map(({ text }) => text).join(' ')
    const returns = 'flowOn' in latest
    expect(advice?.includes('before flow returns')).toBe(returns)
    expect(finding?.cautions.includes('clearBathersBeforeFlow')).toBe(returns)
    expect(advice).toContain('Mend the interlock')
  })

  it('leaves the day’s window, and says when', () => {
    const given = fed(20, 3)
    const { dueAtMs } = judge(given)
    expect(dueAtMs).not.toBeNull()
    expect(kinds(given, undefined, NOW + DAY)).not.toContain('feedWithoutFlow')
  })
})

describe('acid and hypochlorite at once', () => {
  const together = (feeders: FeederFacts[], values: object = {}, body: object = {}) =>
    snapshot({
      feeders,
      body,
      controller: controller({}, [
        ...hours(23, {}),
        hour(1, { bothFeedsMin: 12, phFeedMin: 15, sanitizerFeedMin: 40, ...values }),
      ]),
    })
  const generator = feeder({ role: 'primary', kind: 'saltGenerator' })
  const backup = feeder({ role: 'backup', drum: drum('sodiumHypochlorite') })
  const carbonDioxide = feeder({ role: 'ph', kind: 'co2', drum: drum('carbonDioxide') })
  const salt = { sanitizerSystem: 'saltGenerator' }

  it.each([
    ['hypochlorite pump and acid pump', [HYPOCHLORITE_PUMP, ACID_PUMP], {}],
    [
      'erosion feeder and acid pump',
      [feeder({ role: 'primary', kind: 'erosion', drum: drum('calciumHypochlorite') }), ACID_PUMP],
      {},
    ],
    ['pumps whose drums are not recorded', [feeder({ role: 'primary' }), feeder({ role: 'ph' })], {}],
    [
      'hypochlorite pump and sulfuric acid',
      [HYPOCHLORITE_PUMP, feeder({ role: 'ph', drum: drum('sulfuricAcid') })],
      {},
    ],
    ['hypochlorite pump and bisulfate', [HYPOCHLORITE_PUMP, feeder({ role: 'ph', drum: drum('sodiumBisulfate') })], {}],
    [
      'the backup pump beside acid, generator off',
      [generator, backup, ACID_PUMP],
      { sanitizerFeedMin: 0, backupFeedMin: 20 },
    ],
    [
      'the backup pump that must have shared its time',
      [generator, backup, ACID_PUMP],
      { backupFeedMin: 50, phFeedMin: 20 },
    ],
  ] as const)('is a hazard: %s', (_case, feeders, values) => {
    const finding = find(together([...feeders], values, feeders[0] === generator ? salt : {}), 'acidWithHypochlorite')
    expect(finding?.severity).toBe('act')
    expect(finding?.cautions).toContain('ventilateAndLeave')
  })

  it.each([
    ['a salt generator beside acid', [generator, ACID_PUMP], { backupFeedMin: null }, salt],
    ['a salt generator with an idle backup beside acid', [generator, backup, ACID_PUMP], { backupFeedMin: 0 }, salt],
    ['a backup that may have run at another time', [generator, backup, ACID_PUMP], { backupFeedMin: 15 }, salt],
    ['carbon dioxide beside hypochlorite', [HYPOCHLORITE_PUMP, carbonDioxide], {}, {}],
    ['carbon dioxide beside a generator', [generator, carbonDioxide], {}, salt],
    ['a single sample of both', [HYPOCHLORITE_PUMP, ACID_PUMP], { bothFeedsMin: 5 }, {}],
    ['turns that are kept', [HYPOCHLORITE_PUMP, ACID_PUMP], { bothFeedsMin: 0 }, {}],
    ['no channel that tells', [HYPOCHLORITE_PUMP, ACID_PUMP], { bothFeedsMin: null }, {}],
    ['no pH feed that is reported', [HYPOCHLORITE_PUMP], { bothFeedsMin: null, phFeedMin: null }, {}],
    ['a salt generator, whose acid feeder was never entered', [generator], { backupFeedMin: null }, salt],
    [
      'bromine tablets',
      [feeder({ role: 'primary', kind: 'erosion', drum: drum('bromineTablets') }), ACID_PUMP],
      {},
      { sanitizerSystem: 'bromine' },
    ],
  ] as const)('is none: %s', (_case, feeders, values, body) => {
    expect(kinds(together([...feeders], values, body))).not.toContain('acidWithHypochlorite')
  })

  it.each([
    ['nothing', []],
    ['the sanitizer feeder only', [HYPOCHLORITE_PUMP]],
    ['the acid feeder only', [ACID_PUMP]],
  ])(
    'is a hazard where both feeds are reported and %s was entered: what is unknown is not harmless',
    (_case, feeders) => {
      const finding = find(together(feeders), 'acidWithHypochlorite')
      expect(finding?.severity).toBe('act')
      expect(finding && renderPhrase(finding.sentence, 'us')).toContain('what the feeders hold is not entered')
      expect(finding?.advice[0]?.text).toContain('Enter the feeders')
    },
  )

  it('counts minutes and begins with the first hour', () => {
    const day = [...hours(20), hour(4, { bothFeedsMin: 10 }), hour(3, { bothFeedsMin: 10 }), ...hours(2)]
    const given = snapshot({ feeders: [HYPOCHLORITE_PUMP, ACID_PUMP], controller: controller({}, day) })
    expect(find(given, 'acidWithHypochlorite')).toMatchObject({
      sinceMs: NOW - 4 * HOUR,
      value: { value: 20, unit: 'min' },
    })
    expect(kinds(given, undefined, NOW + 21 * HOUR + MINUTE)).not.toContain('acidWithHypochlorite')
  })
})
