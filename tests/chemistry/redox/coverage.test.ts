import { readFileSync } from 'node:fs'
import { chlorineAt, expectedOrp, fitRedox, type Interval } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { bodyOf } from './bodies.ts'
import { NOW } from './support.ts'

const BODIES = 300
/** Others than the ones on which the model was set. */
const FIRST_SEED = 10_001
const ASKED = ['orp', 'sanitizer', 'slope', 'ph'] as const

/** In which share of drawn bodies each 90 % interval holds the truth, and how wide it is on average. */
function held(count: number, controlled: boolean) {
  const hits = { orp: 0, sanitizer: 0, slope: 0, ph: 0 }
  let width = 0
  for (let seed = FIRST_SEED; seed < FIRST_SEED + BODIES; seed++) {
    const body = bodyOf(seed, count, controlled)
    const model = fitRedox(body.record, NOW)
    const target = { ...body.water, sanitizerMgL: 2.5 }
    const told: Record<(typeof ASKED)[number], [Interval, number]> = {
      orp: [expectedOrp(model, target), body.shows(target)],
      sanitizer: [chlorineAt(model, body.shows(body.water), body.water), body.water.sanitizerMgL],
      slope: [model.slopeMv, body.probe.slopeMv],
      ph: [model.phMv, body.probe.phMv],
    }
    for (const thing of ASKED) {
      const [{ low, high }, truth] = told[thing]
      if (low <= truth && truth <= high) hits[thing] += 1 / BODIES
    }
    width += (told.orp[0].high - told.orp[0].low) / BODIES
  }
  return { ...hits, width }
}

/** Of 300 draws a share of 0.90 scatters by 0.017. */
const LEAST = { orp: 0.87, sanitizer: 0.87, slope: 0.82, ph: 0.82 }

describe.each([
  ['ORP answers the sanitizer', false],
  ['a controller holds ORP and the sanitizer answers', true],
])('a 90 %% interval is one, where %s', (_how, controlled) => {
  const shares = [0, 1, 3, 30].map((count) => [count, held(count, controlled)] as const)

  it.each(shares)('with %i pairs', (_count, share) => {
    for (const thing of ASKED) expect(share[thing], thing).toBeGreaterThanOrEqual(LEAST[thing])
    // an interval that always holds is no honest one either
    expect(share.orp).toBeLessThanOrEqual(0.985)
    expect(share.slope).toBeLessThanOrEqual(0.985)
  })

  it('as the page on redox has it', () => {
    const lines = readFileSync(new URL('../../../docs/redox.md', import.meta.url), 'utf8').split('\n')
    for (const [count, share] of shares) {
      const cells = [
        controlled ? 'yes' : 'no',
        count,
        ...ASKED.map((thing) => share[thing].toFixed(2)),
        share.width.toFixed(0),
      ]
      expect(lines).toContain(`| ${cells.join(' | ')} |`)
    }
  })

  it('and narrows with the pairs', () => {
    const widths = shares.map(([, { width }]) => width)
    expect(widths[0]).toBeGreaterThan(100)
    for (let i = 1; i < widths.length; i++) expect(widths[i]).toBeLessThan(widths[i - 1] as number)
    expect(widths[3]).toBeLessThan(10)
  })
})
