// Levels and times against the texts that they were read in; the citations stand in sources.ts.
import {
  basisOf,
  type IncidentKind,
  incidentWater,
  PROTOCOLS,
  protocolFor,
  renderPhrase,
  SOURCES,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { DAY, drum, feeder, MINUTE } from '../support.ts'
import { INCIDENT_MS, incident, stabilized, water, withIncident } from './water.ts'

const choose = (kind: IncidentKind, of = water()) => protocolFor(incident(kind), of)

describe('published', () => {
  it('formed stool: 2 mg/L for about 30 minutes (CDC, MMWR 50(20), 2001; CDC 2010: 2 ppm, pH 7.5 or less)', () => {
    expect(choose('formedStool').protocol).toMatchObject({ freeChlorineMgL: 2, holdMin: 30, ctMgMinL: 60, phMax: 7.5 })
  })

  it('diarrhea: CT 15,300 (CDC, MMWR 57, 2008), at 20 ppm 12.75 hours (trade press on it, second source)', () => {
    const { protocol } = choose('diarrhea')
    expect(protocol).toMatchObject({ freeChlorineMgL: 20, ctMgMinL: 15_300, phMax: 7.5, tempMinC: 25 })
    expect((protocol?.holdMin ?? 0) / 60).toBe(12.75)
  })

  it('diarrhea in water with cyanuric acid: pH 6.5, 40 mg/L, 30 hours (MAHC 6.5.3.2.1), with its doubts', () => {
    const { protocol } = choose('diarrhea', stabilized(50))
    expect(protocol).toMatchObject({ freeChlorineMgL: 40, holdMin: 30 * 60, phMax: 6.5, tempMinC: 25 })
    expect(protocol && basisOf(protocol, null)[0]?.doubt).toMatch(/superseded.*health department/)
  })

  it('pH 7.5 or lower, 25 °C or warmer, for feces and vomit alike (MAHC 6.5.2.3)', () => {
    for (const protocol of Object.values(PROTOCOLS)) {
      expect(protocol.phMax).toBeLessThanOrEqual(7.5)
      expect(protocol.tempMinC).toBe(25)
      expect(basisOf(protocol, null).map(({ citation }) => citation)).toContain(SOURCES.mahc6523.citation)
    }
  })

  it('vomit as formed stool (CDC Vessel Sanitation Program 2018, 13.9.1), never under the CT of 45 that stands there', () => {
    const { vomit, formedStool } = PROTOCOLS
    expect({ ...vomit, key: '' }).toEqual({ ...formedStool, key: '' })
    expect(vomit.ctMgMinL).toBeGreaterThanOrEqual(45)
  })

  it('each with whose word it is', () => {
    for (const protocol of Object.values(PROTOCOLS)) {
      const basis = basisOf(protocol, null)
      expect(basis.length).toBeGreaterThan(1)
      for (const { citation, says } of basis) expect([citation, says].every((text) => text.length > 20)).toBe(true)
    }
  })
})

describe('where nothing was read, nothing is made up', () => {
  const because = (kind: IncidentKind, of = water()) => {
    const choice = choose(kind, of)
    expect(choice.protocol).toBeNull()
    return renderPhrase(choice.because ?? { text: '', quantities: [] }, 'us')
  }

  it.each(['formedStool', 'vomit'] as const)('%s in water with cyanuric acid', (kind) => {
    expect(because(kind, stabilized(30))).toMatch(/holds cyanuric acid.*[Aa]sk the health department, or drain/)
  })

  it('more cyanuric acid than the published level was tried with', () => {
    expect(choose('diarrhea', stabilized(50)).protocol).not.toBeNull()
    expect(because('diarrhea', stabilized(51))).toMatch(/51 ppm is over the 50 ppm.*or drain/)
  })

  it('bromine', () => {
    expect(because('diarrhea', water({ sanitizerSystem: 'bromine' }))).toMatch(/for bromine none was read.*or drain/)
  })

  it.each(['formedStool', 'diarrhea', 'vomit'] as const)('%s while nobody knows the cyanuric acid', (kind) => {
    for (const cyanuricAcid of [null, { value: 0, atMs: INCIDENT_MS - 31 * DAY - 1 }]) {
      for (const known of [water({ cyanuricAcid }), water({ cyanuricAcid, stabilized: true })]) {
        expect(choose(kind, known)).toMatchObject({ protocol: null, cyanuricAcidMissing: true })
        expect(because(kind, known)).toMatch(/decides which level/)
      }
    }
  })

  it.each([
    ['a month before', INCIDENT_MS - 31 * DAY],
    ['after it', INCIDENT_MS + 30 * MINUTE],
  ])('a test of cyanuric acid %s speaks for the water', (_when, atMs) => {
    expect(choose('diarrhea', water({ cyanuricAcid: { value: 0, atMs } })).protocol).not.toBeNull()
  })
})

describe('cyanuric acid', () => {
  it.each([
    [5, PROTOCOLS.diarrhea],
    [5.1, PROTOCOLS.diarrheaStabilized],
  ])('of %s mg/L, of which a kit tells no less than five', (value, protocol) => {
    expect(choose('diarrhea', water({ cyanuricAcid: { value, atMs: INCIDENT_MS } })).protocol).toEqual(protocol)
  })

  it('counts as there where stabilized products are used or fed, whatever the test found', () => {
    const fed = { feeders: [feeder({ role: 'primary', kind: 'erosion', drum: drum('trichlor') })] }
    const one = incident('diarrhea')
    expect(incidentWater(withIncident(one)).stabilized).toBe(false)
    expect(incidentWater(withIncident(one, {}, { cyanuricAcidUsed: true })).stabilized).toBe(true)
    expect(incidentWater({ ...withIncident(one), ...fed }).stabilized).toBe(true)
    expect(choose('diarrhea', stabilized(0)).protocol).toEqual(PROTOCOLS.diarrheaStabilized)
  })
})

describe('what an authority asked for', () => {
  const asked = { freeChlorineMgL: 12, holdMin: 100, phMax: null, by: 'Harbor county health department' }
  it('comes before everything published, also where nothing is', () => {
    for (const any of [water(), stabilized(90), water({ sanitizerSystem: 'bromine' }), water({ cyanuricAcid: null })]) {
      const { protocol, because, cyanuricAcidMissing } = protocolFor(incident('vomit', [], asked), any)
      expect([because, cyanuricAcidMissing]).toEqual([null, false])
      expect(protocol).toMatchObject({ freeChlorineMgL: 12, holdMin: 100, ctMgMinL: 1200, phMax: 7.5, tempMinC: 25 })
      expect(protocol && basisOf(protocol, asked)[0]?.citation).toBe(asked.by)
    }
  })

  it('may ask for a lower pH, never for a higher one', () => {
    const phMax = (given: number) =>
      protocolFor(incident('vomit', [], { ...asked, phMax: given }), water()).protocol?.phMax
    expect([phMax(6.5), phMax(8)]).toEqual([6.5, 7.5])
  })
})
