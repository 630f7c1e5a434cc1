import { type FindingKind, renderPhrase, saturationIndex } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { controller, find, GOOD, hours, kinds, severityOf, snapshot, still, tested, withValues } from '../support.ts'

describe('pH', () => {
  it.each([
    // MAHC 6.6.3.1 items 3 and 4: below 6.5, above 8.0, strictly
    ['cdc-mahc', 6.4, 'phLow', 'close'],
    ['cdc-mahc', 6.5, 'phLow', 'act'],
    // MAHC 4th edition: minimum 7.0
    ['cdc-mahc', 6.9, 'phLow', 'act'],
    ['cdc-mahc', 7.0, 'phLow', 'watch'],
    ['cdc-mahc', 7.2, 'phLow', 'none'],
    ['cdc-mahc', 7.8, 'phHigh', 'none'],
    ['cdc-mahc', 7.9, 'phHigh', 'act'],
    ['cdc-mahc', 8.0, 'phHigh', 'act'],
    ['cdc-mahc', 8.1, 'phHigh', 'close'],
    ['us-ca', 8.1, 'phHigh', 'close'],
    ['us-dc', 6.4, 'phLow', 'close'],
    ['us-dc', 7.1, 'phLow', 'act'],
    ['us-dc', 7.2, 'phLow', 'none'],
    ['us-dc', 7.9, 'phHigh', 'act'],
    ['us-dc', 8.1, 'phHigh', 'close'],
  ] as const)('%s at %s: %s %s', (key, ph, kind, severity) => {
    expect(severityOf(withValues({ ph }), kind, key)).toBe(severity)
  })

  it('cites the law where the text was read, and practice where it was not', () => {
    expect(find(withValues({ ph: 8.1 }), 'phHigh')?.limit?.citation).toMatchObject({
      authority: 'law',
      section: '6.6.3.1 item 4',
    })
    expect(find(withValues({ ph: 7.9 }), 'phHigh')?.limit?.citation).toMatchObject({
      authority: 'practice',
      document: 'common practice, no source',
    })
    expect(find(withValues({ ph: 7.9 }), 'phHigh', 'us-dc')?.limit?.citation.authority).toBe('law')
  })

  it('keeps the rule of the trade: set point stays, probe is calibrated', () => {
    const given = snapshot({
      tests: tested({ ...GOOD, ph: 7.9 }),
      controller: controller({ ph: 7.9 }, hours(24, { ph: still(7.9) })),
    })
    const advice = find(given, 'phHigh')
      ?.advice.map(({ text }) => text)
      .join(' ')
    expect(advice).toContain('Leave the pH set point where it is')
    expect(advice).toContain('calibrate the pH probe')
  })

  it('by a controller that is newer than the test sends a person; the test then decides', () => {
    const day = hours(24, { ph: still(8.4) })
    const newer = snapshot({ tests: tested(GOOD, 26), controller: controller({ ph: 8.4 }, day) })
    expect(severityOf(newer, 'phHigh')).toBe('act')
    const confirmed = snapshot({ tests: tested({ ...GOOD, ph: 8.4 }, 2), controller: controller({ ph: 8.4 }, day) })
    expect(severityOf(confirmed, 'phHigh')).toBe('close')
  })

  it('by a probe that the test kit has just disproved is not said', () => {
    const day = hours(24, { ph: still(8.4) })
    const given = snapshot({ tests: tested({ ...GOOD, ph: 7.5 }, 2), controller: controller({ ph: 8.4 }, day) })
    expect(kinds(given)).not.toContain('phHigh')
    expect(kinds(given)).toContain('phProbeDisagrees')
  })

  it('shows a value that rounds to its limit with the decimals that tell them apart', () => {
    const low = find(withValues({ ph: 6.97 }), 'phLow')
    expect(low && renderPhrase(low.sentence, 'us')).toBe('pH 6.97 is under the minimum of 7.00.')
  })
})

describe('alkalinity, calcium, temperature', () => {
  it.each([
    ['totalAlkalinityMgL', 59, 'alkalinityLow', 'watch'],
    ['totalAlkalinityMgL', 60, 'alkalinityLow', 'none'],
    ['totalAlkalinityMgL', 180, 'alkalinityHigh', 'none'],
    ['totalAlkalinityMgL', 181, 'alkalinityHigh', 'watch'],
    ['calciumHardnessMgL', 149, 'calciumLow', 'watch'],
    ['calciumHardnessMgL', 150, 'calciumLow', 'none'],
    ['calciumHardnessMgL', 1000, 'calciumHigh', 'none'],
    ['calciumHardnessMgL', 1001, 'calciumHigh', 'watch'],
    ['tempC', 40, 'temperatureHigh', 'none'],
    ['tempC', 40.1, 'temperatureHigh', 'act'],
  ] as const)('%s %s: %s %s', (parameter, value, kind, severity) => {
    expect(severityOf(withValues({ [parameter]: value }), kind as FindingKind)).toBe(severity)
  })

  it('keeps all bathers out of water that is too warm', () => {
    const hot = find(withValues({ tempC: 43, freeChlorineMgL: 4 }, { useClass: 'spa' }), 'temperatureHigh')
    expect(hot?.advice[0]?.text).toContain('Keep bathers out until it has cooled')
  })

  it('104 °F is not over 104 °F', () => {
    const given = withValues({ tempC: (104 - 32) / 1.8 }, { useClass: 'spa' })
    expect(kinds(given)).not.toContain('temperatureHigh')
  })

  it('are not judged where nothing was measured', () => {
    const given = withValues({ totalAlkalinityMgL: undefined, calciumHardnessMgL: undefined, tempC: undefined })
    for (const kind of ['alkalinityLow', 'calciumLow', 'temperatureHigh', 'waterCorrosive', 'waterScaling'] as const) {
      expect(kinds(given)).not.toContain(kind)
    }
  })
})

describe('saturation index', () => {
  const index = (calciumHardnessMgL: number, ph = 7.4) =>
    saturationIndex({
      tempC: 27,
      ph,
      calciumHardnessMgL,
      totalAlkalinityMgL: 100,
      tdsMgL: 1000,
      cyanuricAcidMgL: 0,
      boronMgL: 0,
      freeChlorineMgL: 2.5,
    }) as number
  /** Hardness at which this water has that index, by halving. */
  function hardnessFor(wanted: number, ph: number) {
    let [low, high] = [1, 5000]
    for (let step = 0; step < 60; step++) {
      const middle = (low + high) / 2
      if (index(middle, ph) < wanted) low = middle
      else high = middle
    }
    return low
  }

  it.each([
    [-1.01, 7.0, 'waterCorrosive', 'act'],
    [-0.99, 7.0, 'waterCorrosive', 'watch'],
    [-1.004, 7.0, 'waterCorrosive', 'watch'], // shown and judged as −1.00
    [-0.51, 7.2, 'waterCorrosive', 'watch'],
    [-0.49, 7.2, 'waterCorrosive', 'none'],
    [0, 7.4, 'waterCorrosive', 'none'],
    [0, 7.4, 'waterScaling', 'none'],
    [0.49, 7.8, 'waterScaling', 'none'],
    [0.51, 7.8, 'waterScaling', 'watch'],
    [1.01, 8.0, 'waterScaling', 'act'],
  ] as const)('at %s (pH %s): %s %s', (wanted, ph, kind, severity) => {
    const values = { ph, calciumHardnessMgL: hardnessFor(wanted, ph) }
    expect(severityOf(withValues(values), kind)).toBe(severity)
  })

  it('takes the part of the alkalinity that cyanurate holds out first', () => {
    const values = { ph: 7.2, totalAlkalinityMgL: 70, calciumHardnessMgL: 200 }
    const without = find(withValues(values), 'waterCorrosive')
    const stabilized = find(withValues({ ...values, cyanuricAcidMgL: 90, freeChlorineMgL: 5 }), 'waterCorrosive')
    expect(stabilized?.value?.value).toBeLessThan((without?.value?.value ?? -0.5) - 0.1)
  })

  it('takes temperature and pH from the controller where no test has them, and says so', () => {
    const tests = tested({ ...GOOD, ph: undefined, tempC: undefined, calciumHardnessMgL: 30 })
    const finding = find(snapshot({ tests, controller: controller() }), 'waterCorrosive')
    expect(finding?.evidence.find(({ label }) => label === 'Water temperature')?.source).toBe('controller')
  })

  it('tells when it rests on a test that is too old', () => {
    const old = tested({ totalAlkalinityMgL: 20, calciumHardnessMgL: 100 }, 24 * 200)
    const finding = find(snapshot({ tests: { ...tested(GOOD), ...old } }), 'waterCorrosive')
    expect(finding && renderPhrase(finding.sentence, 'us')).toMatch(
      / It rests on a test that is more than 180 days old\.$/,
    )
    const fresh = find(withValues({ totalAlkalinityMgL: 20, calciumHardnessMgL: 100 }), 'waterCorrosive')
    expect(fresh?.sentence.text).not.toContain('rests on')
  })

  it('names what moves it, and sets no order: that is the dose plan’s', () => {
    const low = find(withValues({ ph: 7, totalAlkalinityMgL: 40, calciumHardnessMgL: 300 }), 'waterCorrosive')
    expect(low?.advice.map(({ text }) => text)).toEqual([
      'Such water dissolves plaster, grout and metal.',
      'What stands lower than pools are usually held: pH, total alkalinity. Begin with what is outside its own range, in small steps, and retest.',
    ])
    const high = find(withValues({ ph: 8.2, calciumHardnessMgL: 500 }), 'waterScaling')
    expect(high?.advice.map(({ text }) => text).join(' ')).toMatch(
      /higher than pools are usually held: pH, total alkalinity, calcium hardness\. .* only with softer fresh water/,
    )
    for (const finding of [low, high]) expect(finding?.advice.join()).not.toMatch(/first, then|last\./)
  })

  it('tells that dissolved solids were assumed', () => {
    const finding = find(withValues({ calciumHardnessMgL: 30, tdsMgL: undefined }), 'waterCorrosive')
    expect(finding?.evidence.map(({ label }) => label)).toContain('Dissolved solids, assumed')
  })

  it.each([
    ['frozen', { tempC: -1 }],
    ['pH beyond the equations', { ph: 10.5 }],
    ['no hardness at all', { calciumHardnessMgL: 0 }],
    ['cyanurate holds all of it', { totalAlkalinityMgL: 20, cyanuricAcidMgL: 300 }],
  ] as const)('is left out where it cannot be told: %s', (_case, values) => {
    const found = kinds(withValues(values))
    expect(found).not.toContain('waterCorrosive')
    expect(found).not.toContain('waterScaling')
  })
})
