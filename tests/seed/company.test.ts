import { describe, expect, it } from 'vitest'
import { makeCompany } from '../../seed/src/company/index.ts'
import { allBodies, company, DAY, NOW } from './support.ts'

const UUID_V7 = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/

describe('Larkmead Aquatic Care', () => {
  it('looks after about 50 facilities and 110 bodies', () => {
    expect(company.facilities.length).toBeGreaterThanOrEqual(48)
    expect(company.facilities.length).toBeLessThanOrEqual(52)
    expect(allBodies).toHaveLength(110)
  })

  it('is the same company again for the same moment, and others’ ids for another seed', () => {
    expect(makeCompany({ nowMs: NOW })).toEqual(company)
    const other = makeCompany({ nowMs: NOW, seed: 'other' })
    expect(other.facilities[0]?.id).not.toBe(company.facilities[0]?.id)
  })

  it('ends at the last full five minutes before now', () => {
    expect(makeCompany({ nowMs: NOW + 7 * 60_000 + 1 }).nowMs).toBe(NOW + 5 * 60_000)
  })

  it('gives everything an id of its own, a UUIDv7', () => {
    const ids = company.facilities.flatMap((facility) => [
      facility.id,
      ...facility.rooms.map(({ id }) => id),
      ...facility.controllers.map(({ id }) => id),
      ...facility.bodies.flatMap((body) => [
        body.id,
        ...body.channels.map(({ id }) => id),
        ...body.feeders.flatMap((feeder) => [feeder.id, ...(feeder.drum ? [feeder.drum.id] : [])]),
      ]),
    ])
    expect(new Set(ids).size).toBe(ids.length)
    expect(ids.filter((id) => !UUID_V7.test(id))).toEqual([])
  })

  it('has names that are told apart, within the company and within a facility', () => {
    const names = company.facilities.map(({ name }) => name.toLowerCase())
    expect(new Set(names).size).toBe(names.length)
    for (const { bodies, rooms, controllers } of company.facilities) {
      for (const things of [bodies, rooms, controllers]) {
        expect(new Set(things.map(({ name }) => name.toLowerCase())).size).toBe(things.length)
      }
      const drums = bodies.flatMap((body) =>
        body.feeders.flatMap(({ drum }) => (drum ? [drum.name.toLowerCase()] : [])),
      )
      expect(new Set(drums).size).toBe(drums.length)
    }
  })

  it('writes to nobody: all addresses end in example.test', () => {
    for (const { contact } of company.facilities) expect(contact.email).toMatch(/^office@[a-z-]+\.example\.test$/)
  })

  it('has about 60 % healthy bodies, all kinds of water, a few without a controller, and several time zones', () => {
    const healthy = allBodies.filter(({ scenario }) => scenario === 'healthy').length / allBodies.length
    expect(healthy).toBeGreaterThan(0.55)
    expect(healthy).toBeLessThan(0.7)
    const seen = <T>(of: (body: (typeof allBodies)[number]) => T) => new Set(allBodies.map(of))
    expect(seen(({ plant }) => plant.useClass)).toEqual(new Set(['pool', 'spa', 'wading', 'splash', 'therapy']))
    expect(seen(({ plant }) => plant.sanitizerSystem)).toEqual(
      new Set(['hypochlorite', 'erosion', 'saltGenerator', 'bromine']),
    )
    const byHand = allBodies.filter(({ plant }) => !plant.controller).length
    expect(byHand).toBeGreaterThanOrEqual(4)
    expect(byHand).toBeLessThanOrEqual(10)
    expect(new Set(company.facilities.map(({ timeZone }) => timeZone))).toEqual(
      new Set(['America/Chicago', 'America/New_York', 'America/Phoenix']),
    )
  })

  it('tests, and visits, only inside its 90 days and in order', () => {
    for (const { tests, visits } of allBodies) {
      const times = [tests.map(({ atMs }) => atMs), visits]
      for (const list of times) {
        expect(list).toEqual([...list].sort((a, b) => a - b))
        expect(list.every((atMs) => atMs > NOW - 90 * DAY && atMs <= NOW + 3 * 3_600_000)).toBe(true)
      }
    }
  })
})
