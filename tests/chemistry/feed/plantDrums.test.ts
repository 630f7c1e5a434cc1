// What is said of drums, on the plant model: weather, bathers and settings that nobody made for a forecast.
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { plantDrumRows, plantFigures, toldOfPlants } from './plantDrums.ts'

const page = readFileSync(new URL('../../../docs/feed.md', import.meta.url), 'utf8').split('\n')
const told = toldOfPlants()

describe('drums of plants that nobody refills any more', () => {
  it.each([
    ['run time', true, { inside: 0.85, middle: [0.97, 1.1], sureHeld: 0.98, tooLate: 0.03 }],
    ['levels alone', false, { inside: 0.7, middle: [0.97, 1.15], sureHeld: 0.97, tooLate: 0.15 }],
  ] as const)('by %s last about as long as was said', (_way, byRun, least) => {
    const { count, inside, middle, sureHeld, tooLate } = plantFigures(told.filter((one) => one.byRun === byRun))
    expect(count).toBeGreaterThan(100)
    expect(inside).toBeGreaterThan(least.inside)
    expect(middle).toBeGreaterThan(least.middle[0])
    expect(middle).toBeLessThan(least.middle[1])
    expect(sureHeld).toBeGreaterThan(least.sureHeld)
    expect(tooLate).toBeLessThan(least.tooLate)
  })

  it('are told by run time better than by levels alone', () => {
    const apart = (byRun: boolean) => {
      const errors = told
        .filter((one) => one.byRun === byRun)
        .map(({ typical, truth }) => Math.abs(Math.log(typical / truth)))
      return errors.reduce((sum, error) => sum + error, 0) / errors.length
    }
    expect(apart(true)).toBeLessThan(0.85 * apart(false))
  })

  it('stand on the page as they came out', () => {
    for (const row of plantDrumRows(told)) expect(page).toContain(row)
  })
})
