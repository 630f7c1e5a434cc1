// Limits of published codes, each held against the text that it was read in: what a value means just inside, at and just
// outside it. Where a code says nothing, the Model Aquatic Health Code (MAHC) or practice stands in, and the row says so.
import { type BodyFacts, type FindingKind, type Parameter, PROFILES, testRulesFor } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { find, GOOD, judge, NOW, POOL, profile, severityOf, snapshot, tested, withValues } from '../support.ts'

const INDOOR = { setting: 'indoor' } as const
const OUTDOOR = { setting: 'outdoor' } as const
const STABILIZED = { cyanuricAcidUsed: true } as const
const SPA = { useClass: 'spa' } as const
const BROMINE = { sanitizerSystem: 'bromine' } as const
const use = (useClass: BodyFacts['useClass']) => ({ useClass })

type Thing = Exclude<Parameter, 'saltMgL' | 'tdsMgL'> | 'combinedChlorineMgL'
const KINDS: Record<Thing, { min?: FindingKind; max?: FindingKind }> = {
  freeChlorineMgL: { min: 'freeChlorineLow', max: 'freeChlorineHigh' },
  totalChlorineMgL: { max: 'totalChlorineHigh' },
  combinedChlorineMgL: { max: 'combinedChlorineHigh' },
  bromineMgL: { min: 'bromineLow', max: 'bromineHigh' },
  ph: { min: 'phLow', max: 'phHigh' },
  totalAlkalinityMgL: { min: 'alkalinityLow', max: 'alkalinityHigh' },
  calciumHardnessMgL: { min: 'calciumLow', max: 'calciumHigh' },
  cyanuricAcidMgL: { max: 'cyanuricAcidHigh' },
  tempC: { max: 'temperatureHigh' },
}

interface Row {
  profile: string
  /** Where the number was read. */
  source: string
  thing: Thing
  side: 'min' | 'max'
  limit: number
  /** What the finding weighs one step inside, at, and one step outside the limit. */
  means: [inside: string, at: string, outside: string]
  step?: number
  body?: Partial<BodyFacts>
  water?: Partial<Record<Parameter, number | undefined>>
  /** Words of the citation that the finding outside must show. */
  cites?: string
}

const CA = '22 CCR 65529(b), epsten.com copy of the California Code of Regulations'
const DC = 'DCMR 25-C404.2, dcrules.elaws.us'
const NY_1_25 = '10 NYCRR 6-1.25, regs.health.ny.gov'
const NY_1_30 = '10 NYCRR 6-1.30, Westlaw'
const NY_FORM = 'NYS Department of Health, form DOH-1323 (10/04), summary of 10 NYCRR 6-1.11(c)'
const NC = '15A NCAC 18A .2535, NC Office of Administrative Hearings; .2511(b), Justia'
const FL = 'Florida 64E-9.004(1)(d), Justia, current through 24 September 2024'
const PIMA = 'Pima County Code 8.32.080 C, amlegal'
const MANSFIELD = 'Mansfield, Texas, § 92.47(A), amlegal'
const QC_5 = 'Québec Q-2, r. 39, s. 5, LégisQuébec'
const QC_6 = 'Québec Q-2, r. 39, s. 6, LégisQuébec, version of 19 November 2024'
const QC_17 = 'Québec Q-2, r. 39, s. 17, LégisQuébec, version of 20 July 2021'
const VIC = 'Victoria, Public Health and Wellbeing Regulations 2019, reg. 54, AustLII'
const MAHC = 'MAHC § 6.6.3.1, cmahc.org'

const ROWS: Row[] = [
  // MAHC
  {
    profile: 'cdc-mahc',
    source: MAHC,
    thing: 'ph',
    side: 'min',
    limit: 6.5,
    means: ['act', 'act', 'close'],
    cites: '6.6.3.1 item 3',
  },
  {
    profile: 'cdc-mahc',
    source: MAHC,
    thing: 'ph',
    side: 'max',
    limit: 8,
    means: ['act', 'act', 'close'],
    cites: '6.6.3.1 item 4',
  },
  {
    profile: 'cdc-mahc',
    source: 'CMAHC announcement of the 4th edition',
    thing: 'ph',
    side: 'min',
    limit: 7,
    means: ['watch', 'watch', 'act'],
  },
  {
    profile: 'cdc-mahc',
    source: 'MAHC 5th edition § 6.3.3.1, NEHA May 2025',
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 10,
    means: ['watch', 'watch', 'close'],
  },
  {
    profile: 'cdc-mahc',
    source: 'MAHC 5th edition § 5.7.3.1.3.3, NEHA May 2025 (">=300")',
    thing: 'cyanuricAcidMgL',
    side: 'max',
    limit: 300,
    step: 1,
    means: ['watch', 'act', 'act'],
    body: STABILIZED,
  },

  // California
  {
    profile: 'us-ca',
    source: CA,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
    cites: '65529(b)',
  },
  {
    profile: 'us-ca',
    source: CA,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'close'],
    body: STABILIZED,
  },
  {
    profile: 'us-ca',
    source: CA,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 3,
    means: ['none', 'none', 'close'],
    body: SPA,
  },
  {
    profile: 'us-ca',
    source: CA,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 3,
    means: ['none', 'none', 'close'],
    body: use('wading'),
  },
  {
    profile: 'us-ca',
    source: CA,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 3,
    means: ['none', 'none', 'close'],
    body: use('splash'),
  },
  {
    profile: 'us-ca',
    source: CA,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 10,
    means: ['watch', 'watch', 'close'],
    cites: '65529(b)',
  },
  {
    profile: 'us-ca',
    source: CA,
    thing: 'bromineMgL',
    side: 'min',
    limit: 2,
    means: ['act', 'act', 'close'],
    body: BROMINE,
  },
  {
    profile: 'us-ca',
    source: CA,
    thing: 'bromineMgL',
    side: 'min',
    limit: 4,
    means: ['none', 'none', 'close'],
    body: { ...BROMINE, ...SPA },
  },

  // District of Columbia
  {
    profile: 'us-dc',
    source: DC,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
    cites: 'C404.2(b)',
  },
  {
    profile: 'us-dc',
    source: DC,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 3,
    means: ['none', 'none', 'close'],
    body: SPA,
  },
  {
    profile: 'us-dc',
    source: `${DC} ("all other type pools")`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'close'],
    body: use('wading'),
  },
  {
    profile: 'us-dc',
    source: `${DC} ("all other type pools")`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'close'],
    body: use('splash'),
  },
  {
    profile: 'us-dc',
    source: `${DC} ("all other type pools")`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['act', 'act', 'close'],
    body: use('therapy'),
  },
  {
    profile: 'us-dc',
    source: `${DC} (indoor conventional pools)`,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 5,
    means: ['none', 'none', 'act'],
    body: INDOOR,
  },
  {
    profile: 'us-dc',
    source: `${DC} (indoor conventional pools only)`,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 5,
    means: ['none', 'none', 'none'],
    body: { ...INDOOR, ...SPA },
  },
  {
    profile: 'us-dc',
    source: DC,
    thing: 'bromineMgL',
    side: 'min',
    limit: 1.5,
    means: ['act', 'act', 'close'],
    body: BROMINE,
  },
  {
    profile: 'us-dc',
    source: DC,
    thing: 'bromineMgL',
    side: 'min',
    limit: 4,
    means: ['none', 'none', 'close'],
    body: { ...BROMINE, ...SPA },
  },
  {
    profile: 'us-dc',
    source: DC,
    thing: 'bromineMgL',
    side: 'max',
    limit: 8,
    means: ['none', 'none', 'act'],
    body: BROMINE,
  },
  {
    profile: 'us-dc',
    source: `${DC} (indoor conventional pools)`,
    thing: 'bromineMgL',
    side: 'max',
    limit: 6,
    means: ['none', 'none', 'act'],
    body: { ...BROMINE, ...INDOOR },
  },
  {
    profile: 'us-dc',
    source: DC,
    thing: 'combinedChlorineMgL',
    side: 'max',
    limit: 0.4,
    means: ['none', 'none', 'act'],
  },
  { profile: 'us-dc', source: DC, thing: 'ph', side: 'min', limit: 7.2, means: ['none', 'none', 'act'] },
  { profile: 'us-dc', source: DC, thing: 'ph', side: 'max', limit: 7.8, means: ['none', 'none', 'act'] },
  { profile: 'us-dc', source: `${DC}; ${MAHC}`, thing: 'ph', side: 'max', limit: 8, means: ['act', 'act', 'close'] },
  { profile: 'us-dc', source: `${DC}; ${MAHC}`, thing: 'ph', side: 'min', limit: 6.5, means: ['act', 'act', 'close'] },

  // New York
  {
    profile: 'us-ny',
    source: `${NY_1_30}; ${NY_FORM}`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 0.6,
    means: ['none', 'none', 'close'],
    cites: 'DOH-1323',
  },
  {
    profile: 'us-ny',
    source: `${NY_FORM} (pH 7.8–8.2)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1.5,
    means: ['none', 'none', 'close'],
    water: { ph: 7.9 },
    cites: 'DOH-1323',
  },
  {
    profile: 'us-ny',
    source: `${NY_FORM} (at pH 7.8 itself)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 0.6,
    means: ['none', 'none', 'close'],
    water: { ph: 7.8 },
  },
  {
    profile: 'us-ny',
    source: NY_1_25,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1.5,
    means: ['none', 'none', 'close'],
    body: SPA,
    cites: '6-1.25',
  },
  {
    profile: 'us-ny',
    source: `${MAHC} (wading pools were not read)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 3,
    means: ['none', 'none', 'close'],
    body: use('wading'),
  },
  {
    profile: 'us-ny',
    source: NY_1_25,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 5,
    means: ['none', 'none', 'act'],
    body: SPA,
  },
  {
    profile: 'us-ny',
    source: NY_FORM,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 5,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'us-ny',
    source: NY_1_25,
    thing: 'bromineMgL',
    side: 'min',
    limit: 3,
    means: ['act', 'act', 'close'],
    body: { ...BROMINE, ...SPA },
  },
  {
    profile: 'us-ny',
    source: NY_FORM,
    thing: 'bromineMgL',
    side: 'min',
    limit: 1.5,
    means: ['act', 'act', 'close'],
    body: BROMINE,
  },
  {
    profile: 'us-ny',
    source: NY_1_25,
    thing: 'bromineMgL',
    side: 'max',
    limit: 6,
    means: ['none', 'none', 'act'],
    body: { ...BROMINE, ...SPA },
  },
  {
    profile: 'us-ny',
    source: NY_FORM,
    thing: 'bromineMgL',
    side: 'max',
    limit: 6,
    means: ['none', 'none', 'act'],
    body: BROMINE,
  },
  {
    profile: 'us-ny',
    source: `${NY_1_25}; ${NY_FORM}`,
    thing: 'ph',
    side: 'min',
    limit: 7.2,
    means: ['watch', 'watch', 'act'],
  },
  {
    profile: 'us-ny',
    source: `${NY_1_30} (control level)`,
    thing: 'ph',
    side: 'min',
    limit: 7.4,
    means: ['none', 'none', 'watch'],
  },
  {
    profile: 'us-ny',
    source: `${NY_1_25}; ${NY_1_30}`,
    thing: 'ph',
    side: 'max',
    limit: 7.8,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'us-ny',
    source: '10 NYCRR 6-1.19(c)(2), regs.health.ny.gov',
    thing: 'totalAlkalinityMgL',
    side: 'min',
    limit: 80,
    step: 1,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'us-ny',
    source: '10 NYCRR 6-1.19(c)(2), regs.health.ny.gov',
    thing: 'totalAlkalinityMgL',
    side: 'max',
    limit: 120,
    step: 1,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'us-ny',
    source: NY_1_30,
    thing: 'calciumHardnessMgL',
    side: 'min',
    limit: 180,
    step: 1,
    means: ['none', 'none', 'watch'],
  },
  {
    profile: 'us-ny',
    source: NY_1_30,
    thing: 'calciumHardnessMgL',
    side: 'max',
    limit: 250,
    step: 1,
    means: ['none', 'none', 'watch'],
  },
  {
    profile: 'us-ny',
    source: `${NY_1_25} (104 °F)`,
    thing: 'tempC',
    side: 'max',
    limit: 40,
    means: ['none', 'none', 'act'],
    body: SPA,
    cites: '6-1.25(b)',
  },

  // North Carolina
  {
    profile: 'us-nc',
    source: NC,
    thing: 'ph',
    side: 'min',
    limit: 7.2,
    means: ['none', 'none', 'close'],
    cites: '.2511(b)(3)',
  },
  {
    profile: 'us-nc',
    source: NC,
    thing: 'ph',
    side: 'max',
    limit: 7.8,
    means: ['none', 'none', 'close'],
    cites: '.2511(b)(3)',
  },
  {
    profile: 'us-nc',
    source: NC,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
    cites: '.2511(b)(2)',
  },
  {
    profile: 'us-nc',
    source: `${MAHC} (spas were not read)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 3,
    means: ['none', 'none', 'close'],
    body: SPA,
  },
  {
    profile: 'us-nc',
    source: NC,
    thing: 'bromineMgL',
    side: 'min',
    limit: 2,
    means: ['act', 'act', 'close'],
    body: BROMINE,
    cites: '.2511(b)(2)',
  },
  {
    profile: 'us-nc',
    source: NC,
    thing: 'cyanuricAcidMgL',
    side: 'max',
    limit: 100,
    step: 1,
    means: ['watch', 'watch', 'act'],
    body: STABILIZED,
  },

  // Florida
  {
    profile: 'us-fl',
    source: FL,
    thing: 'ph',
    side: 'min',
    limit: 7,
    means: ['watch', 'watch', 'act'],
    cites: '64E-9.004',
  },
  {
    profile: 'us-fl',
    source: FL,
    thing: 'ph',
    side: 'max',
    limit: 7.8,
    means: ['none', 'none', 'act'],
    cites: '64E-9.004',
  },
  {
    profile: 'us-fl',
    source: `${FL} (conventional pools)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
    cites: '64E-9.004',
  },
  {
    profile: 'us-fl',
    source: `${FL} (all other type pools)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'close'],
    body: SPA,
  },
  {
    profile: 'us-fl',
    source: `${FL} (all other type pools)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'close'],
    body: use('splash'),
  },
  {
    profile: 'us-fl',
    source: `${FL}; MAHC 5th edition § 6.3.3.1`,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 10,
    means: ['watch', 'watch', 'close'],
  },

  // Pima County
  {
    profile: 'us-az-pima',
    source: PIMA,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
    cites: '8.32.080 C',
  },
  {
    profile: 'us-az-pima',
    source: `${PIMA} (the same with isocyanurates)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
    body: STABILIZED,
  },
  {
    profile: 'us-az-pima',
    source: PIMA,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 5,
    means: ['none', 'none', 'act'],
  },
  { profile: 'us-az-pima', source: PIMA, thing: 'ph', side: 'min', limit: 7, means: ['watch', 'watch', 'act'] },
  {
    profile: 'us-az-pima',
    source: `${PIMA}; ${MAHC}`,
    thing: 'ph',
    side: 'max',
    limit: 8,
    means: ['act', 'act', 'close'],
  },
  {
    profile: 'us-az-pima',
    source: PIMA,
    thing: 'cyanuricAcidMgL',
    side: 'max',
    limit: 100,
    step: 1,
    means: ['watch', 'watch', 'act'],
    body: STABILIZED,
  },
  {
    profile: 'us-az-pima',
    source: PIMA,
    thing: 'totalAlkalinityMgL',
    side: 'min',
    limit: 60,
    step: 1,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'us-az-pima',
    source: PIMA,
    thing: 'totalAlkalinityMgL',
    side: 'max',
    limit: 180,
    step: 1,
    means: ['none', 'none', 'act'],
  },

  // Mansfield, Texas
  {
    profile: 'us-tx-mansfield',
    source: MANSFIELD,
    thing: 'ph',
    side: 'min',
    limit: 7,
    means: ['watch', 'watch', 'close'],
    cites: '92.47(A)(2)',
  },
  {
    profile: 'us-tx-mansfield',
    source: MANSFIELD,
    thing: 'ph',
    side: 'max',
    limit: 7.8,
    means: ['none', 'none', 'close'],
    cites: '92.47(A)(2)',
  },
  {
    profile: 'us-tx-mansfield',
    source: MANSFIELD,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 8,
    means: ['none', 'none', 'close'],
    cites: '92.47(A)(4)',
  },
  {
    profile: 'us-tx-mansfield',
    source: `${MANSFIELD} ("equal to or greater than 300")`,
    thing: 'cyanuricAcidMgL',
    side: 'max',
    limit: 300,
    step: 1,
    means: ['act', 'close', 'close'],
    body: STABILIZED,
  },
  {
    profile: 'us-tx-mansfield',
    source: `${MANSFIELD} ("equal to or greater than 100")`,
    thing: 'cyanuricAcidMgL',
    side: 'max',
    limit: 100,
    step: 1,
    means: ['watch', 'act', 'act'],
    body: STABILIZED,
  },
  {
    profile: 'us-tx-mansfield',
    source: `${MAHC} (the minima of Texas could not be read)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
  },

  // Maryland: its limits were not read
  {
    profile: 'us-md',
    source: `${MAHC} (Maryland’s limits were not read)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
    cites: 'Model Aquatic Health Code',
  },

  // Québec
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 0.8,
    means: ['none', 'none', 'act'],
    cites: 's. 5',
  },
  {
    profile: 'ca-qc',
    source: QC_17,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 0.3,
    means: ['act', 'act', 'close'],
    cites: 's. 17',
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 2,
    means: ['none', 'none', 'act'],
    body: INDOOR,
    cites: 's. 5',
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 3,
    means: ['none', 'none', 'act'],
    body: OUTDOOR,
  },
  {
    profile: 'ca-qc',
    source: QC_17,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 5,
    means: ['act', 'act', 'close'],
    cites: 's. 17',
  },
  {
    profile: 'ca-qc',
    source: `${QC_6} (over 35 °C)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'act'],
    body: { ...SPA, ...INDOOR },
    water: { tempC: 35.1 },
    cites: 's. 6',
  },
  {
    profile: 'ca-qc',
    source: `${QC_5} (at 35 °C itself)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 0.8,
    means: ['none', 'none', 'act'],
    body: { ...SPA, ...INDOOR },
    water: { tempC: 35 },
  },
  {
    profile: 'ca-qc',
    source: `${QC_6} (over 35 °C, indoors too)`,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 3,
    means: ['none', 'none', 'act'],
    body: { ...SPA, ...INDOOR },
    water: { tempC: 38 },
    cites: 's. 6',
  },
  {
    profile: 'ca-qc',
    source: `${QC_5} (nobody measured the temperature)`,
    thing: 'freeChlorineMgL',
    side: 'max',
    limit: 2,
    means: ['none', 'none', 'act'],
    body: { ...SPA, ...INDOOR },
    water: { tempC: undefined },
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'bromineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'act'],
    body: BROMINE,
  },
  {
    profile: 'ca-qc',
    source: QC_17,
    thing: 'bromineMgL',
    side: 'min',
    limit: 0.6,
    means: ['act', 'act', 'close'],
    body: BROMINE,
  },
  {
    profile: 'ca-qc',
    source: `${QC_6} (over 35 °C)`,
    thing: 'bromineMgL',
    side: 'min',
    limit: 3,
    means: ['none', 'none', 'act'],
    body: { ...BROMINE, ...SPA },
    water: { tempC: 38 },
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'bromineMgL',
    side: 'max',
    limit: 5,
    means: ['none', 'none', 'act'],
    body: BROMINE,
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'combinedChlorineMgL',
    side: 'max',
    limit: 0.5,
    means: ['none', 'watch', 'act'],
    body: INDOOR,
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'combinedChlorineMgL',
    side: 'max',
    limit: 1,
    means: ['watch', 'watch', 'act'],
    body: OUTDOOR,
  },
  { profile: 'ca-qc', source: QC_5, thing: 'ph', side: 'min', limit: 7.2, means: ['none', 'none', 'act'] },
  { profile: 'ca-qc', source: QC_5, thing: 'ph', side: 'max', limit: 7.8, means: ['none', 'none', 'act'] },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'totalAlkalinityMgL',
    side: 'min',
    limit: 60,
    step: 1,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'totalAlkalinityMgL',
    side: 'max',
    limit: 150,
    step: 1,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'calciumHardnessMgL',
    side: 'min',
    limit: 150,
    step: 1,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'calciumHardnessMgL',
    side: 'max',
    limit: 400,
    step: 1,
    means: ['none', 'none', 'act'],
  },
  {
    profile: 'ca-qc',
    source: QC_5,
    thing: 'cyanuricAcidMgL',
    side: 'max',
    limit: 60,
    step: 1,
    means: ['none', 'none', 'act'],
    body: STABILIZED,
  },
  {
    profile: 'ca-qc',
    source: `${MAHC} (s. 5: the same power with cyanuric acid, by no number)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'close'],
    body: STABILIZED,
  },
  {
    profile: 'ca-qc',
    source: `${MAHC} (s. 3: not pools used only for medical purposes)`,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['act', 'act', 'close'],
    body: use('therapy'),
  },

  // Victoria
  {
    profile: 'au-vic',
    source: VIC,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 1,
    means: ['none', 'none', 'close'],
    cites: '54(2)',
  },
  {
    profile: 'au-vic',
    source: VIC,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 2,
    means: ['none', 'none', 'close'],
    body: STABILIZED,
    cites: '54(3)',
  },
  {
    profile: 'au-vic',
    source: VIC,
    thing: 'freeChlorineMgL',
    side: 'min',
    limit: 3,
    means: ['none', 'none', 'close'],
    body: SPA,
    cites: '54(4)',
  },
  {
    profile: 'au-vic',
    source: VIC,
    thing: 'totalChlorineMgL',
    side: 'max',
    limit: 10,
    means: ['none', 'none', 'act'],
    cites: '54(2',
  },
  { profile: 'au-vic', source: VIC, thing: 'ph', side: 'min', limit: 7.2, means: ['none', 'none', 'act'] },
  { profile: 'au-vic', source: VIC, thing: 'ph', side: 'max', limit: 7.8, means: ['none', 'none', 'act'] },
]

/** Water in which the thing has that value and nothing else is wrong, as far as can be. */
function waterOf({ thing, body, water }: Row, value: number) {
  const values: Partial<Record<Parameter, number | undefined>> = { ...water }
  if (thing === 'combinedChlorineMgL') Object.assign(values, { freeChlorineMgL: 2, totalChlorineMgL: 2 + value })
  else if (thing === 'freeChlorineMgL') Object.assign(values, { freeChlorineMgL: value, totalChlorineMgL: undefined })
  else values[thing] = value
  if (thing === 'cyanuricAcidMgL') values.freeChlorineMgL = Math.max(3, value / 40)
  if (body?.sanitizerSystem === 'bromine')
    Object.assign(values, { freeChlorineMgL: undefined, totalChlorineMgL: undefined })
  return withValues(values, body)
}

describe('a published limit, just inside, at and just outside', () => {
  it.each(ROWS.map((row) => [`${row.profile}: ${row.thing} ${row.side} ${row.limit}, ${row.source}`, row] as const))(
    '%s',
    (_name, row) => {
      const { side, thing, limit, step = 0.1, means, cites } = row
      const kind = KINDS[thing][side] as FindingKind
      const outside = side === 'max' ? step : -step
      const weighs = [limit - outside, limit, limit + outside].map((value) =>
        severityOf(waterOf(row, value), kind, row.profile),
      )
      expect(weighs).toEqual(means)
      if (!cites) return
      const { citation } = find(waterOf(row, limit + outside), kind, row.profile)?.limit ?? {}
      expect(`${citation?.document} ${citation?.section}`).toContain(cites)
    },
  )

  it.each(PROFILES.map(({ key }) => [key]))('%s has rows', (key) => {
    // the two profiles of Maryland have the same limits
    expect(ROWS.some((row) => row.profile === (key === 'us-md-semipublic' ? 'us-md' : key))).toBe(true)
  })
})

describe('cyanuric acid where it may not be used', () => {
  it.each([
    ['us-tx-mansfield', INDOOR, 'act', '25 TAC 265.193(d), Justia'],
    ['us-tx-mansfield', use('therapy'), 'act', '25 TAC 265.193(d), Justia'],
    ['us-tx-mansfield', OUTDOOR, 'none', '25 TAC 265.193(d), Justia'],
    ['ca-qc', INDOOR, 'act', QC_5],
    ['ca-qc', OUTDOOR, 'none', QC_5],
    ['us-ny', OUTDOOR, 'act', `${NY_FORM} ("not acceptable")`],
    ['us-ca', { ...INDOOR, ...SPA }, 'none', `${CA} ("with or without")`],
  ] as const)('%s %o: %s (%s)', (key, body, severity, _source) => {
    const water = withValues({ cyanuricAcidMgL: 40 }, { ...body, cyanuricAcidUsed: true })
    expect(severityOf(water, 'cyanuricAcidNotAllowed', key)).toBe(severity)
  })
})

describe('combined chlorine that lasts, Québec Q-2, r. 39, s. 17(3): over 1.0 mg/L for more than 24 h', () => {
  const HOUR = 3_600_000
  /** Newest vial two hours ago; vials are hours ago with their combined chlorine. */
  const water = (newest: number, earlier: [hoursAgo: number, value: number][] = []) => {
    const atMs = (hoursAgo: number) => NOW - hoursAgo * HOUR
    return snapshot({
      tests: tested({ ...GOOD, freeChlorineMgL: 2, totalChlorineMgL: 2 + newest }),
      combinedChlorine: [
        ...earlier.map(([ago, value]) => ({ value, atMs: atMs(ago) })),
        { value: newest, atMs: atMs(2) },
      ],
      body: INDOOR,
    })
  }
  const weighs = (given: ReturnType<typeof water>, nowMs = NOW) =>
    severityOf(given, 'combinedChlorineHigh', 'ca-qc', nowMs)

  it.each([
    ['once over', water(1.2), 'act'],
    ['over since 24 h exactly', water(1.2, [[24, 1.1]]), 'act'],
    [
      'over since more than 24 h',
      water(1.2, [
        [24.1, 1.1],
        [12, 1.3],
      ]),
      'close',
    ],
    [
      'at the limit in between',
      water(1.2, [
        [30, 1.1],
        [12, 1],
      ]),
      'act',
    ],
    [
      'long ago, and back since',
      water(0.4, [
        [30, 1.3],
        [26, 1.3],
      ]),
      'none',
    ],
    ['over for long but back to the standard of s. 5 only by half', water(0.8, [[30, 1.3]]), 'act'],
  ] as const)('%s', (_what, given, severity) => {
    expect(weighs(given)).toBe(severity)
  })

  it('closes by itself once a bad value has not been retested for 24 h, and says when to look again', () => {
    const given = water(1.2)
    const { dueAtMs } = judge(given, 'ca-qc')
    const lasted = NOW - 2 * HOUR + 24 * HOUR
    expect(dueAtMs).toBeLessThanOrEqual(lasted + 1)
    expect(weighs(given, lasted)).toBe('act')
    expect(weighs(given, lasted + 1)).toBe('close')
  })

  it('says how long in its sentence, and before that what is coming', () => {
    const long = find(water(1.2, [[30, 1.1]]), 'combinedChlorineHigh', 'ca-qc')
    expect(long?.sentence.text).toBe('Combined chlorine {0} is over the maximum of {1} for a pool, for more than {2}.')
    const short = find(water(1.2), 'combinedChlorineHigh', 'ca-qc')
    expect(short?.advice[0]?.text).toMatch(/for more than \{1\} it closes to bathers/)
  })

  it('is nothing where a profile has no such limit', () => {
    expect(severityOf(water(1.2, [[30, 1.1]]), 'combinedChlorineHigh', 'cdc-mahc')).toBe('act')
  })
})

describe('ORP in water over 35 °C, Québec Q-2, r. 39, s. 6: "greater than 750 mV"', () => {
  it.each([
    [751, 38, 'none'],
    [750, 38, 'act'],
    [749, 38, 'act'],
    [749, 35, 'none'],
  ])('%i mV at %i °C: %s', (orpMv, tempC, severity) => {
    const atMs = NOW - 60_000
    const hours = [1, 2].map((ago) => ({
      hourMs: NOW - ago * 3_600_000,
      samples: 12,
      coveredMin: 60,
      ph: null,
      orpMv: { min: orpMv, mean: orpMv, max: orpMv },
      freeChlorineMgL: null,
      tempC: null,
      flowLMin: null,
      phSetPoint: null,
      orpSetPointMv: null,
      sanitizerFeedMin: null,
      backupFeedMin: null,
      phFeedMin: null,
      noFlowMin: 0,
      feedWithoutFlowMin: null,
      bothFeedsMin: null,
    }))
    const latest = {
      atMs,
      ph: null,
      orpMv,
      freeChlorineMgL: null,
      tempC: null,
      flowLMin: null,
      flowOn: true,
      sanitizerFeedPct: null,
      backupFeedPct: null,
      phFeedPct: null,
      phSetPoint: null,
      orpSetPointMv: null,
    }
    const given = snapshot({
      tests: tested({ ...GOOD, tempC }),
      controller: { channels: ['orpMv'], lastHeardAtMs: atMs, latest, hours },
      body: { ...SPA, ...INDOOR },
    })
    expect(severityOf(given, 'orpOutOfRange', 'ca-qc')).toBe(severity)
  })
})

describe('how often to test', () => {
  const every = (key: string, body: Partial<BodyFacts>, automated: boolean, parameter: Parameter) => {
    const rule = testRulesFor(profile(key), { ...POOL, ...body }, automated).find(({ parameters }) =>
      parameters.includes(parameter),
    )
    return [rule?.everyHours, rule?.perDay]
  }
  const MD = 'COMAR 10.17.01.46, Justia, current through 20 September 2024'
  it.each([
    ['us-md', {}, false, 'freeChlorineMgL', [2, undefined], `${MD} A: "in 2-hour intervals for a recreational pool"`],
    ['us-md', SPA, false, 'ph', [2, undefined], `${MD} A: "and for a public spa"`],
    ['us-md', {}, true, 'freeChlorineMgL', [8, 3], `${MD} B(1): "approved automatic controller … three times per day"`],
    ['us-md-semipublic', {}, false, 'totalChlorineMgL', [8, 3], `${MD} A: three times per day for a semipublic pool`],
    ['us-md-semipublic', SPA, false, 'ph', [2, undefined], `${MD} A: its spa is a public spa`],
    ['us-md', BROMINE, false, 'bromineMgL', [2, undefined], `${MD} C(1)`],
    ['us-md', {}, false, 'totalAlkalinityMgL', [168, undefined], `${MD} D: "1-week intervals for a public pool"`],
    ['us-md', SPA, false, 'calciumHardnessMgL', [24, undefined], `${MD} D: "1-day intervals for a public spa"`],
    ['us-md', STABILIZED, false, 'cyanuricAcidMgL', [168, undefined], `${MD} D(3)`],
    ['au-vic', {}, false, 'totalChlorineMgL', [4, undefined], 'reg. 48(a): "at 4-hourly intervals"'],
    ['au-vic', BROMINE, false, 'bromineMgL', [4, undefined], 'reg. 48(a)(ii)'],
    ['au-vic', {}, false, 'totalAlkalinityMgL', [168, undefined], 'reg. 48(b)'],
    ['au-vic', STABILIZED, false, 'cyanuricAcidMgL', [744, undefined], 'reg. 48(c)'],
    ['us-dc', {}, false, 'ph', [8, 3], 'DCMR 25-C412: "minimum of three (3) times per day"'],
    ['us-ca', {}, false, 'ph', [24, 1], '22 CCR 65523(a): "a minimum of once per day"'],
    ['us-ca', STABILIZED, false, 'cyanuricAcidMgL', [744, undefined], '22 CCR 65523(b): "once per month"'],
    ['us-ny', {}, false, 'freeChlorineMgL', [8, 3], `${NY_FORM}: "at least three times (3x) a day"`],
    ['us-tx-mansfield', {}, false, 'ph', [8, 3], `${MANSFIELD}: "three times per day"`],
    ['us-tx-mansfield', {}, false, 'totalAlkalinityMgL', [168, undefined], `${MANSFIELD}: "one time per week"`],
    ['ca-qc', {}, false, 'ph', [12, 2], 'Québec Q-2, r. 39, s. 11: "at least twice a day"'],
  ] as const)('%s %o, controller %s, %s: %o (%s)', (key, body, automated, parameter, asked, _source) => {
    expect(every(key, body, automated, parameter)).toEqual(asked)
  })
})

describe('what closes without a number', () => {
  const closures = (key: string) =>
    profile(key).closures.map(({ trigger, citation }) => `${trigger}: ${citation.section}`)
  it.each([
    ['cdc-mahc', ['treatmentStopped: 6.6.3.1 item 5', 'bottomNotVisible: 6.6.3.1 item 11']],
    [
      'ca-qc',
      [
        'treatmentStopped: s. 17 (evacuate and close)',
        'turbid: s. 17 (evacuate and close)',
        'fecesOrVomit: s. 17 (evacuate and close)',
        'bottomNotVisible: 6.6.3.1 item 11',
      ],
    ],
    [
      'us-tx-mansfield',
      ['treatmentStopped: 92.47(A)(17)', 'bottomNotVisible: 92.47(A)(3)', 'fecesOrVomit: 92.47(A)(7)'],
    ],
  ])('%s', (key, expected) => {
    expect(closures(key)).toEqual(expected)
  })

  it('names the law of the place when nothing flows', () => {
    const atMs = NOW - 60_000
    const given = snapshot({
      controller: {
        channels: ['ph'],
        lastHeardAtMs: atMs,
        hours: [],
        latest: {
          atMs,
          ph: 7.4,
          orpMv: 700,
          freeChlorineMgL: null,
          tempC: null,
          flowLMin: null,
          flowOn: false,
          sanitizerFeedPct: 0,
          backupFeedPct: null,
          phFeedPct: 0,
          phSetPoint: null,
          orpSetPointMv: null,
        },
      },
    })
    expect(find(given, 'noFlow', 'ca-qc')?.limit?.citation.section).toContain('s. 17')
    expect(find(given, 'noFlow')?.limit?.citation.section).toContain('6.6.3.1')
  })
})
