// Amounts against the same functions that the dosing tests hold against the outside, and against plain arithmetic.
import {
  CHEMICALS,
  type ChemicalKey,
  contactTime,
  type DoseStep,
  incidentDoses,
  incidentWater,
  renderPhrase,
  type Snapshot,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { drum, feeder, MINUTE, NOW, profile, type tested } from '../support.ts'
import { incident, test, withIncident } from './water.ts'

const doses = (snapshot: Snapshot, given: { chemicals?: ChemicalKey[] } = {}) => {
  const one = snapshot.incidents[0] ?? incident('diarrhea')
  const contact = contactTime(one, incidentWater(snapshot), NOW)
  const options = given.chemicals ? { chemicals: given.chemicals.map((key) => CHEMICALS[key]) } : {}
  return incidentDoses(snapshot, profile(), contact, NOW, options)
}
const stepsOf = (answer: ReturnType<typeof doses>) => (answer.plan?.steps ?? []) as DoseStep[]
const words = (phrases: readonly Parameters<typeof renderPhrase>[0][]) =>
  phrases.map((one) => renderPhrase(one, 'us')).join(' ')
/** 300 m³ of good water at pH 7.4, tested two hours ago, after diarrhea. */
const water = (values: Parameters<typeof tested>[0] = {}, body: Partial<Snapshot['body']> = {}) =>
  withIncident(incident('diarrhea', [test(1300, values.freeChlorineMgL ?? 2.5)]), values, body)

describe('what to add after an incident', () => {
  it('is acid, then chlorine, so that pH is right once the chlorine is in', () => {
    const answer = doses(water())
    const [acid, chlorine] = stepsOf(answer)
    expect(stepsOf(answer)).toHaveLength(2)
    expect([acid && CHEMICALS[acid.chemical].family, chlorine && CHEMICALS[chlorine.chemical].family]).toEqual([
      'acid',
      'hypochlorite',
    ])
    expect(acid?.after.water.ph).toBeLessThan(7.3)
    expect(chlorine?.after.water.freeChlorineMgL).toBeCloseTo(22, 6)
    // the limit is 7.5
    expect(chlorine?.after.water.ph).toBeCloseTo(7.4, 2)
    expect(words([acid?.purpose ?? { text: '', quantities: [] }])).toMatch(/so that it is 7.4 once the chlorine is in/)
  })

  it('is as much chlorine as is missing in the volume', () => {
    const [, chlorine] = stepsOf(doses(water()))
    // 19.5 mg/L in 300,000 L are 5.85 kg of chlorine
    const brings =
      ((chlorine?.amount.massG ?? 0) / 1000) * CHEMICALS.sodiumHypochloriteTrade12.perKg.availableChlorineMgL
    expect(chlorine?.chemical).toBe('sodiumHypochloriteTrade12')
    expect(brings / 1000).toBeCloseTo(5850, 3)
    expect(chlorine?.parts).toBeGreaterThan(1)
  })

  it('for formed stool is little, and none where the water holds enough', () => {
    const formed = (freeChlorineMgL: number, ph = 7.4) =>
      stepsOf(
        doses(
          withIncident(incident('formedStool', [test(1300, freeChlorineMgL, { ph })]), {
            freeChlorineMgL,
            totalChlorineMgL: freeChlorineMgL,
            ph,
          }),
        ),
      )
    expect(formed(3)).toEqual([])
    expect(formed(1.2).map(({ after }) => Number(after.water.freeChlorineMgL.toFixed(3)))).toEqual([2.2])
    expect(formed(3, 7.7).map(({ chemical }) => CHEMICALS[chemical].family)).toEqual(['acid'])
    expect(formed(3, 7.7).at(-1)?.after.water.ph).toBeCloseTo(7.4, 2)
  })

  it('in water with cyanuric acid goes to pH 6.5 and 44 mg/L', () => {
    const one = incident('diarrhea', [test(1300, 3)])
    const steps = stepsOf(doses(withIncident(one, { cyanuricAcidMgL: 30 }, { cyanuricAcidUsed: true })))
    expect(steps.at(-1)?.after.water.freeChlorineMgL).toBeCloseTo(44, 6)
    expect(steps.at(-1)?.after.water.ph).toBeCloseTo(6.5, 2)
  })

  it('never is a stabilized product, also where the feeder holds trichlor or nothing else is chosen', () => {
    const fed = {
      ...water({ cyanuricAcidMgL: 30 }, { cyanuricAcidUsed: true }),
      feeders: [feeder({ role: 'primary', kind: 'erosion', drum: drum('trichlor') })],
    }
    const keys = stepsOf(doses(fed)).map(({ chemical }) => chemical)
    expect(keys).toContain('sodiumHypochloriteTrade12')
    for (const key of keys) expect(CHEMICALS[key].perKg.cyanuricAcidMmolL).toBe(0)
    const chosen = doses(water(), { chemicals: ['trichlor', 'dichlor', 'hydrochloricAcid31'] })
    expect(words(chosen.plan?.remains ?? [])).toMatch(/No chlorine without stabilizer is at hand/)
  })

  it('is told with what is missing: no volume, no alkalinity', () => {
    expect(doses(water({}, { volumeL: null }))).toMatchObject({ plan: null })
    expect(words(doses(water({}, { volumeL: null })).missing)).toMatch(/volume/)
    expect(words(doses(water({ totalAlkalinityMgL: undefined })).missing)).toMatch(/alkalinity/)
  })

  it('is nothing where nobody knows which level to hold', () => {
    const answer = doses(water({ cyanuricAcidMgL: undefined }))
    expect(answer.plan).toBeNull()
    expect(words(answer.missing)).toMatch(/Cyanuric acid was not tested/)
  })

  it('does not reckon acid from a pH test that chlorine bleaches', () => {
    const answer = doses(water({ freeChlorineMgL: 15, totalChlorineMgL: 15, ph: 7.8 }))
    expect(stepsOf(answer).map(({ chemical }) => CHEMICALS[chemical].family)).toEqual(['hypochlorite'])
    expect(words(answer.plan?.remains ?? [])).toMatch(/measure pH with a meter/)
  })

  it('says so where no acid is at hand', () => {
    const answer = doses(water(), { chemicals: ['sodiumHypochloriteTrade12'] })
    expect(words(answer.plan?.remains ?? [])).toMatch(/nothing at hand brings it down/)
    expect(stepsOf(answer)).toHaveLength(1)
  })

  it('once the contact time is reached is the usual way back', () => {
    const one = incident('diarrhea', [test(0, 22), test(800, 22)])
    const snapshot = withIncident(one, { freeChlorineMgL: 22, totalChlorineMgL: 22 })
    for (const measured of Object.values(snapshot.tests)) measured.atMs = NOW - 10 * MINUTE
    expect(words(doses(snapshot).plan?.remains ?? [])).toMatch(/let it fall by itself/)
  })
})
