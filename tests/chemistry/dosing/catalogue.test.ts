import {
  afterDose,
  amountFor,
  CHEMICAL_FAMILIES,
  CHEMICAL_KEYS,
  CHEMICAL_SOURCES,
  CHEMICALS,
  type ChemicalKey,
  gallonsToLitres,
  gramsToOunces,
  gramsToPounds,
  HAZARD_KEYS,
  HAZARDS,
  labelOf,
  litresToFluidOunces,
  MEETINGS,
  massOfVolume,
  meetingOf,
  notWith,
  OutOfRange,
  ofStrength,
  strengthsOf,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { dosingChecks } from './checks.ts'
import { GOOD_WATER } from './given.ts'

describe('doses and strengths that others published', () => {
  it.each(
    dosingChecks
      .filter(({ kind }) => kind === 'published')
      .map((check) => [`${check.source}: ${check.quantity}, ${check.locus}`, check] as const),
  )('%s', (_name, check) => {
    expect(Math.abs(check.ours() - check.expect), check.because).toBeLessThanOrEqual(check.tolerance)
  })

  it('are the table of another program, through chemicals as sold', () => {
    const rows = dosingChecks.filter(({ kind }) => kind === 'otherProgram')
    expect(rows.length).toBeGreaterThan(450)
    for (const check of rows) {
      expect(Math.abs(check.ours() - check.expect), `${check.locus} ${check.quantity}`).toBeLessThanOrEqual(
        check.tolerance,
      )
    }
  })

  it('leave one aside: 20.8 fl oz of muriatic acid for 10 ppm in 10,000 gal contradicts stoichiometry and New York', () => {
    // second source; 25.6 is what 31.45 % takes, 26.7 New York's pint; 20.8 would be acid of 38 %
    const ours = litresToFluidOunces(
      amountFor(
        { ...GOOD_WATER, freeChlorineMgL: 0 },
        gallonsToLitres(10_000),
        CHEMICALS.hydrochloricAcid31,
        'totalAlkalinityMgL',
        80,
      )?.volumeL ?? 0,
    )
    expect(ours).toBeCloseTo(25.6, 1)
    expect(Math.abs(ours - 26.7)).toBeLessThan(Math.abs(ours - 20.8))
  })
})

describe('the arithmetic of the reference notes, per 10,000 US gallons', () => {
  const volumeL = gallonsToLitres(10_000)
  const mass = (key: ChemicalKey, thing: Parameters<typeof amountFor>[3], by: number, strengthPct?: number) => {
    const chemical = strengthPct ? ofStrength(key, strengthPct) : CHEMICALS[key]
    const water = { ...GOOD_WATER, freeChlorineMgL: 0 }
    return amountFor(water, volumeL, chemical, thing, water[thing] + by) ?? { massG: Number.NaN, volumeL: Number.NaN }
  }
  it.each([
    [
      'sodium bicarbonate, lb for 10 of alkalinity',
      1.401,
      () => gramsToPounds(mass('sodiumBicarbonate', 'totalAlkalinityMgL', 10).massG),
    ],
    [
      'calcium chloride pure, lb for 10 of hardness',
      0.925,
      () => gramsToPounds(mass('calciumChlorideAnhydrous', 'calciumHardnessMgL', 10, 100).massG),
    ],
    ['calcium chloride 77 %', 1.202, () => gramsToPounds(mass('calciumChloride77', 'calciumHardnessMgL', 10).massG)],
    [
      'calcium chloride dihydrate',
      1.226,
      () => gramsToPounds(mass('calciumChlorideDihydrate', 'calciumHardnessMgL', 10).massG),
    ],
    [
      'sodium bisulfate pure, lb for −10 of alkalinity',
      2.002,
      () => gramsToPounds(mass('sodiumBisulfate', 'totalAlkalinityMgL', -10, 100).massG),
    ],
  ])('%s: %d', (_name, expected, ours) => {
    expect(ours()).toBeCloseTo(expected, 2)
  })
  it('13.35 oz of cyanuric acid for 10, 2.05 oz of calcium hypochlorite 65 % and 10.24 fl oz of hypochlorite 12.5 trade % for 1', () => {
    expect(gramsToOunces(mass('cyanuricAcid', 'cyanuricAcidMgL', 10).massG)).toBeCloseTo(13.35, 2)
    expect(gramsToOunces(mass('calciumHypochlorite65', 'freeChlorineMgL', 1).massG)).toBeCloseTo(2.05, 2)
    expect(litresToFluidOunces(mass('sodiumHypochloriteTrade12', 'freeChlorineMgL', 1).volumeL ?? 0)).toBeCloseTo(
      10.24,
      2,
    )
  })
  it('0.91 of cyanuric acid with dichlor and 0.607 with trichlor for each mg/L of chlorine', () => {
    const rise = (key: ChemicalKey) => {
      const amount = mass(key, 'freeChlorineMgL', 1)
      return afterDose(GOOD_WATER, volumeL, { chemical: CHEMICALS[key], massG: amount.massG }).cyanuricAcidMgL
    }
    expect(rise('dichlor')).toBeCloseTo(0.91, 3)
    expect(rise('dichlorAnhydrous')).toBeCloseTo(0.91, 3)
    expect(rise('trichlor')).toBeCloseTo(0.607, 3)
  })
})

describe('the catalogue', () => {
  it.each(CHEMICAL_KEYS)('%s is made of what weighs no more than itself, has a source and known hazards', (key) => {
    const chemical = CHEMICALS[key]
    expect(chemical.key).toBe(key)
    const shares = Object.values(chemical.composition)
    expect(shares.every((share) => share > 0)).toBe(true)
    expect(shares.reduce((sum, share) => sum + share, 0)).toBeLessThanOrEqual(1 + 1e-9)
    expect(CHEMICAL_SOURCES[key]).toBeTruthy()
    expect(chemical.densityKgL === null).toBe(chemical.state !== 'liquid')
    for (const hazard of chemical.hazards) expect(HAZARDS[hazard]).toBeTruthy()
    expect(Object.values(chemical.perKg).every(Number.isFinite)).toBe(true)
  })

  it('names chemicals by what they are, twice alike never', () => {
    const labels = CHEMICAL_KEYS.map((key) => labelOf(CHEMICALS[key]))
    expect(new Set(labels).size).toBe(labels.length)
    expect(labelOf(CHEMICALS.sodiumHypochloriteTrade12)).toBe('Sodium hypochlorite, 12.5 trade %')
    expect(labelOf(CHEMICALS.sodiumBicarbonate)).toBe('Sodium bicarbonate')
  })

  it('gives words to every hazard and every meeting', () => {
    expect(Object.keys(HAZARDS).sort()).toEqual([...HAZARD_KEYS].sort())
    for (const key of CHEMICAL_KEYS) for (const { does } of notWith(CHEMICALS[key])) expect(MEETINGS[does]).toBeTruthy()
  })

  it('keeps chlorine gas for reference only', () => {
    expect(CHEMICAL_KEYS.filter((key) => CHEMICALS[key].referenceOnly)).toEqual(['chlorineGas'])
  })

  it('has each available chlorine of its label', () => {
    const pct = (key: ChemicalKey) => CHEMICALS[key].perKg.availableChlorineMgL / 1e4
    expect(pct('calciumHypochlorite65')).toBeCloseTo(65, 9)
    expect(pct('calciumHypochlorite73')).toBeCloseTo(73, 9)
    expect(pct('lithiumHypochlorite')).toBeCloseTo(35, 9)
    expect(pct('trichlor')).toBeCloseTo(90, 9)
    expect(pct('dichlor')).toBeCloseTo(55, 9)
    expect(pct('chlorineGas')).toBeCloseTo(100, 9)
    // trade per cent count g in a litre, not in a kilogram
    const { perKg, densityKgL } = CHEMICALS.sodiumHypochloriteTrade12
    expect((perKg.availableChlorineMgL / 1000) * (densityKgL ?? 0)).toBeCloseTo(125, 9)
    expect(100 * (CHEMICALS.sodiumHypochloriteWeight6.composition.sodiumHypochlorite ?? 0)).toBeCloseTo(6, 9)
    expect(100 * (CHEMICALS.sodiumHypochloriteWeight12.composition.sodiumHypochlorite ?? 0)).toBeCloseTo(12.5, 9)
  })

  it.each([
    // equivalents for each kilogram, from the formulas
    ['hydrochloricAcid31', -8.626],
    ['hydrochloricAcid15', -4.313],
    ['sulfuricAcid93', -19.006],
    ['sulfuricAcid38', -7.749],
    ['sodiumBisulfate', -7.913],
    ['sodiumBicarbonate', 11.904],
    ['sodiumCarbonate', 18.87],
    ['sodiumHydroxide', 24.502],
    ['carbonDioxide', 0],
    ['trichlor', 0],
    ['cyanuricAcid', 0],
    ['boricAcid', 0],
    ['borax', 5.244],
    ['sodiumChloride', 0],
    ['calciumChloride77', 0],
  ] as const)('%s brings %d equivalents for each kilogram', (key, expected) => {
    expect(CHEMICALS[key].perKg.alkalinityMeqL / 1000).toBeCloseTo(expected, 2)
  })
})

describe('a strength of one’s own', () => {
  it('of aged hypochlorite needs more of it', () => {
    const water = { ...GOOD_WATER, freeChlorineMgL: 0 }
    const litres = (pct: number) =>
      amountFor(water, 1000, ofStrength('sodiumHypochloriteTrade12', pct), 'freeChlorineMgL', 3)?.volumeL ?? 0
    expect(litres(12.5)).toBeCloseTo(0.024, 6)
    expect(litres(6.25)).toBeCloseTo(0.048, 6)
    expect(labelOf(ofStrength('sodiumHypochloriteTrade12', 9.2))).toBe('Sodium hypochlorite, 9.2 trade %')
  })
  it.each(CHEMICAL_KEYS)('%s can be reckoned at its least and its most, and refuses what lies beyond', (key) => {
    const { minPct, usualPct, maxPct } = strengthsOf(key)
    expect(minPct <= usualPct && usualPct <= maxPct).toBe(true)
    for (const pct of [minPct, maxPct]) {
      const chemical = ofStrength(key, pct)
      expect(Object.values(chemical.perKg).every(Number.isFinite)).toBe(true)
      expect(Object.values(chemical.composition).reduce((sum, share) => sum + share, 0)).toBeLessThanOrEqual(1.005)
    }
    expect(() => ofStrength(key, minPct - 0.01)).toThrow(OutOfRange)
    expect(() => ofStrength(key, maxPct + 0.01)).toThrow(OutOfRange)
    expect(() => ofStrength(key, Number.NaN)).toThrow(OutOfRange)
  })
  it('of what is weighed has no volume to measure out', () => {
    expect(() => massOfVolume(CHEMICALS.sodiumBicarbonate, 1)).toThrow(OutOfRange)
    expect(massOfVolume(CHEMICALS.hydrochloricAcid31, 2)).toBeCloseTo(2317.6, 0)
  })
})

describe('what may not meet', () => {
  it.each([
    ['hydrochloricAcid31', 'sodiumHypochloriteTrade12', 'chlorineGas'],
    ['sulfuricAcid38', 'calciumHypochlorite65', 'chlorineGas'],
    ['sodiumBisulfate', 'trichlor', 'chlorineGas'],
    ['hydrochloricAcid31', 'bromineTablets', 'chlorineGas'],
    ['trichlor', 'calciumHypochlorite65', 'explosion'],
    ['dichlor', 'sodiumHypochloriteTrade10', 'explosion'],
    ['sodiumThiosulfate', 'calciumHypochlorite73', 'heat'],
    ['hydrochloricAcid31', 'sodiumHydroxide50', 'heat'],
    ['hydrochloricAcid31', 'sodiumBicarbonate', 'foam'],
    ['calciumChloride77', 'sodiumCarbonate', 'cloud'],
    ['sodiumChloride', 'borax', 'mixed'],
    ['hydrochloricAcid31', 'sulfuricAcid93', null],
  ] as const)('%s with %s: %s, whichever is named first', (one, other, does) => {
    expect(meetingOf(CHEMICALS[one].family, CHEMICALS[other].family)).toBe(does)
    expect(meetingOf(CHEMICALS[other].family, CHEMICALS[one].family)).toBe(does)
  })
  it('says of every acid that it makes gas with every chlorine product', () => {
    const chlorine = CHEMICAL_KEYS.filter((key) => CHEMICALS[key].perKg.availableChlorineMgL > 0)
    const acids = CHEMICAL_KEYS.filter((key) => CHEMICALS[key].family === 'acid')
    for (const acid of acids)
      for (const key of chlorine) expect(meetingOf(CHEMICALS[acid].family, CHEMICALS[key].family)).toBe('chlorineGas')
  })
  it('has no two families of different kind that may be mixed', () => {
    for (const one of CHEMICAL_FAMILIES)
      for (const other of CHEMICAL_FAMILIES) expect(meetingOf(one, other) === null).toBe(one === other)
  })
})
