import {
  CHEMICALS,
  chemicalsOf,
  type Parameter,
  type PlanForBody,
  planFor,
  renderPhrase,
  type Snapshot,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  ACID_PUMP,
  controller,
  DAY,
  drum,
  feeder,
  GOOD,
  HOUR,
  HYPOCHLORITE_PUMP,
  hours,
  NOW,
  profile,
  snapshot,
  tested,
} from '../support.ts'

const plan = (given: Snapshot, options?: Parameters<typeof planFor>[3], key = 'cdc-mahc', nowMs = NOW) =>
  planFor(given, profile(key), nowMs, options)
const text = (phrases: PlanForBody['missing']) => phrases.map((phrase) => renderPhrase(phrase, 'metric')).join('\n')
const stepsOf = (made: PlanForBody) =>
  made.plan?.steps.map((step) => (step.kind === 'dose' ? step.chemical : step.kind))
const without = (...parameters: Parameter[]) =>
  snapshot({ tests: tested({ ...GOOD, ...Object.fromEntries(parameters.map((parameter) => [parameter, undefined])) }) })
/** Good values of two hours ago, but for one of another age. */
const aged = (parameter: Parameter, hoursAgo: number, value = GOOD[parameter] ?? 0) =>
  snapshot({ tests: { ...tested(GOOD), ...tested({ [parameter]: value }, hoursAgo) } })

describe('a plan for a body', () => {
  it('is empty for good water, and starts from the water as tested', () => {
    const made = plan(snapshot())
    expect(stepsOf(made)).toEqual([])
    expect(made.missing).toEqual([])
    expect(made.water).toMatchObject({ ph: 7.4, totalAlkalinityMgL: 100, freeChlorineMgL: 2.5, tempC: 27 })
    expect(made.water?.combinedChlorineMgL).toBeCloseTo(0.2, 9)
    expect(text(made.assumed)).toBe(
      'Cyanuric acid is not used here and was never tested: none is taken to be there.\nBorate is taken as none: nobody tests it here.',
    )
  })

  it('doses what is outside', () => {
    const made = plan(snapshot({ tests: tested({ ...GOOD, ph: 8.1, freeChlorineMgL: 0.4, totalChlorineMgL: 0.5 }) }))
    expect(stepsOf(made)).toEqual(['sodiumHypochloriteTrade12', 'hydrochloricAcid31'])
  })

  it('judges by the profile of the body', () => {
    // the District of Columbia wants 3 mg/L in a spa and so does the default; New York 1.5
    const spa = (key: string) =>
      stepsOf(
        plan(
          snapshot({
            body: { useClass: 'spa', volumeL: 2000, flowLMin: 200 },
            tests: tested({ ...GOOD, freeChlorineMgL: 2, totalChlorineMgL: 2 }),
          }),
          {},
          key,
        ),
      )
    expect(spa('cdc-mahc')).toEqual(['sodiumHypochloriteTrade12'])
    expect(spa('us-ny')).toEqual([])
  })
})

describe('what is missing', () => {
  it.each([
    ['freeChlorineMgL', 'Test free chlorine first: it was never tested.'],
    ['ph', 'Test pH first: it was never tested.'],
    ['totalAlkalinityMgL', 'Test total alkalinity first: it was never tested.'],
  ] as const)('%s that was never tested', (parameter, words) => {
    const made = plan(without(parameter))
    expect(text(made.missing)).toBe(words)
    expect(made.plan).toBeNull()
    expect(made.water).toBeNull()
  })

  it.each([
    // daily, with half a day of grace; weekly with a day
    ['freeChlorineMgL', 36, ''],
    ['freeChlorineMgL', 36.1, 'Test free chlorine again first: it was measured more than 36 h ago.'],
    ['ph', 36, ''],
    ['ph', 36.1, 'Test pH again first: it was measured more than 36 h ago.'],
    ['totalAlkalinityMgL', 8 * 24, ''],
    ['totalAlkalinityMgL', 8 * 24 + 0.1, 'Test total alkalinity again first: it was measured more than 8 days ago.'],
  ] as const)('%s tested %d hours ago: "%s"', (parameter, hoursAgo, words) => {
    const made = plan(aged(parameter, hoursAgo))
    expect(text(made.missing)).toBe(words)
    expect(made.plan === null).toBe(words !== '')
  })

  it('a test from a time that has not come yet', () => {
    expect(text(plan(aged('ph', -2)).missing)).toBe('Test pH first: its test carries a time that has not come yet.')
  })

  it('everything of a body that was never tested', () => {
    const made = plan(snapshot({ tests: {} }))
    expect(made.missing).toHaveLength(3)
    expect(made.plan).toBeNull()
  })

  it.each([null, 0, -5])('a volume of %s', (volumeL) => {
    const made = plan(snapshot({ body: { volumeL } }))
    expect(text(made.missing)).toBe('The volume of this body is not entered: without it no amount can be worked out.')
    expect(made.plan).toBeNull()
  })

  it('water that does not circulate', () => {
    const made = plan(snapshot({ controller: controller({ flowOn: false, flowLMin: 0 }) }))
    expect(text(made.missing)).toBe('The controller shows no flow: nothing may be added until the water circulates.')
    expect(plan(snapshot({ controller: controller() })).plan).not.toBeNull()
    // a controller that says nothing any more does not know
    const silent = controller({ flowOn: false, atMs: NOW - 5 * HOUR }, [], NOW - 5 * HOUR)
    expect(plan(snapshot({ controller: silent })).plan).not.toBeNull()
  })

  it('the end of an incident, whose response holds chlorine and pH', () => {
    const incidents = [{ id: 'a', kind: 'diarrhea' as const, atMs: NOW - HOUR, instruction: null, readings: [] }]
    const made = plan(snapshot({ incidents, tests: tested({ ...GOOD, freeChlorineMgL: 20, totalChlorineMgL: 20 }) }))
    expect(made.plan).toBeNull()
    expect(text(made.missing)).toMatch(/^An incident is open/)
  })

  it('cyanuric acid only where it is used', () => {
    const used = plan(snapshot({ body: { cyanuricAcidUsed: true } }))
    expect(text(used.missing)).toBe('Test cyanuric acid first: it was never tested.')
    const fed = plan(snapshot({ feeders: [feeder({ role: 'primary', kind: 'erosion', drum: drum('trichlor') })] }))
    expect(text(fed.missing)).toBe('Test cyanuric acid first: it was never tested.')
  })

  it('bromine rather than chlorine where that sanitizes', () => {
    const made = plan(snapshot({ body: { sanitizerSystem: 'bromine' } }))
    expect(text(made.missing)).toBe('Test bromine first: it was never tested.')
    const tests = tested({ ...GOOD, bromineMgL: 2, freeChlorineMgL: undefined, totalChlorineMgL: undefined })
    const brominated = plan(snapshot({ body: { sanitizerSystem: 'bromine' }, tests }))
    expect(stepsOf(brominated)).toEqual(['bromineTablets'])
    expect(brominated.water).toMatchObject({ freeChlorineMgL: 0, bromineMgL: 2 })
  })

  it('a sense in tests that contradict each other', () => {
    const tests = tested({ ...GOOD, cyanuricAcidMgL: 250, totalAlkalinityMgL: 30, ph: 8 })
    const made = plan(snapshot({ body: { cyanuricAcidUsed: true }, tests }))
    expect(text(made.missing)).toMatch(/contradict each other/)
    expect(made.plan).toBeNull()
  })

  it('a value that nobody can reckon with', () => {
    expect(text(plan(snapshot({ tests: tested({ ...GOOD, ph: 2.5 }) })).missing)).toMatch(
      /lie beyond what can be reckoned/,
    )
  })
})

describe('what is assumed', () => {
  it.each([
    [4, ''],
    [4.1, 'pH was measured more than 4 h ago: test it again right before anything is added.'],
  ] as const)('a pH of %d hours ago still holds: "%s"', (hoursAgo, words) => {
    const said = text(plan(aged('ph', hoursAgo)).assumed)
    if (words) expect(said).toContain(words)
    else expect(said).not.toMatch(/right before anything is added/)
  })

  it('hardness, where it was never tested: no step for it and no saturation index', () => {
    const made = plan(without('calciumHardnessMgL'))
    expect(text(made.assumed)).toMatch(/Calcium hardness was never tested: 250 mg\/L is taken/)
    expect(made.untested).toContain('calciumHardnessMgL')
    expect(made.plan?.before.saturationIndex).toBeNull()
  })

  it('hardness from an old test: kept, and nothing done about it', () => {
    const made = plan(aged('calciumHardnessMgL', 9 * 24, 60))
    expect(text(made.assumed)).toMatch(
      /Calcium hardness is taken from a test more than 8 days old: nothing is done about it/,
    )
    expect(made.water?.calciumHardnessMgL).toBe(60)
    expect(stepsOf(made)).toEqual([])
    expect(stepsOf(plan(aged('calciumHardnessMgL', 2, 60)))).toEqual(['calciumChloride77'])
  })

  it('cyanuric acid from an old test', () => {
    const tests = { ...tested(GOOD), ...tested({ cyanuricAcidMgL: 120 }, 40 * 24) }
    const made = plan(snapshot({ body: { cyanuricAcidUsed: true }, tests }))
    expect(text(made.assumed)).toMatch(/Cyanuric acid is taken from a test more than 30 days old/)
    expect(stepsOf(made)).toEqual([])
  })

  it('temperature: of the test, else of the controller while water flows, else what is usual', () => {
    expect(text(plan(snapshot()).assumed)).not.toMatch(/°C/)
    const probed = plan(
      snapshot({ tests: tested({ ...GOOD, tempC: undefined }), controller: controller({ tempC: 31 }) }),
    )
    expect(probed.water?.tempC).toBe(31)
    expect(text(probed.assumed)).not.toMatch(/°C/)
    const none = plan(without('tempC'))
    expect(none.water?.tempC).toBe(27)
    expect(text(none.assumed)).toMatch(/The water is taken to have 27\.0 °C/)
    const spa = plan(
      snapshot({ tests: tested({ ...GOOD, tempC: undefined }), body: { useClass: 'spa', volumeL: 2000 } }),
    )
    expect(spa.water?.tempC).toBe(38)
  })

  it('dissolved solids: as tested, from salt, or what is usual', () => {
    expect(text(plan(snapshot()).assumed)).not.toMatch(/Dissolved solids/)
    const none = plan(without('tdsMgL'))
    expect(none.water?.tdsMgL).toBe(1000)
    expect(text(none.assumed)).toMatch(/Dissolved solids are taken as 1,000 mg\/L/)
    const salty = plan(
      snapshot({ tests: tested({ ...GOOD, tdsMgL: undefined }), body: { sanitizerSystem: 'saltGenerator' } }),
    )
    expect(salty.water?.tdsMgL).toBe(4000)
    const salt = plan(snapshot({ tests: tested({ ...GOOD, tdsMgL: undefined, saltMgL: 3200 }) }))
    expect(salt.water?.tdsMgL).toBe(3700)
    expect(text(salt.assumed)).not.toMatch(/Dissolved solids/)
  })

  it('no combined chlorine, where free and total are not of one vial', () => {
    const apart = plan(snapshot({ tests: { ...tested(GOOD), ...tested({ totalChlorineMgL: 6 }, 5) } }))
    expect(apart.water?.combinedChlorineMgL).toBe(0)
    expect(text(apart.assumed)).toMatch(/Combined chlorine is not known/)
    expect(stepsOf(apart)).toEqual([])
    expect(stepsOf(plan(snapshot({ tests: tested({ ...GOOD, totalChlorineMgL: 3.5 }) })))).toEqual([
      'sodiumHypochloriteTrade12',
    ])
  })

  it('a flow that is not entered, where something is dosed', () => {
    const tests = tested({ ...GOOD, ph: 8 })
    expect(text(plan(snapshot({ body: { flowLMin: null }, tests })).assumed)).toMatch(
      /The flow through the plant is not entered/,
    )
    expect(text(plan(snapshot({ body: { flowLMin: null } })).assumed)).not.toMatch(/flow/)
    expect(text(plan(snapshot({ tests })).assumed)).not.toMatch(/flow/)
  })

  it('the strength of what stands in the drums, where something is dosed', () => {
    const feeders = [HYPOCHLORITE_PUMP, ACID_PUMP]
    const made = plan(snapshot({ feeders, tests: tested({ ...GOOD, ph: 8 }) }))
    expect(text(made.assumed)).toContain(
      'Sodium hypochlorite on site is taken to be of 12.5 trade %: look at its label.',
    )
    expect(text(plan(snapshot({ feeders })).assumed)).not.toMatch(/label/)
  })
})

describe('the chemicals at hand', () => {
  const keysOf = (given: Partial<Snapshot>) => chemicalsOf(snapshot(given)).chemicals.map(({ key }) => key)

  it('are the usual ones without drums', () => {
    expect(keysOf({})).toEqual([
      'sodiumHypochloriteTrade12',
      'hydrochloricAcid31',
      'sodiumBicarbonate',
      'sodiumCarbonate',
      'calciumChloride77',
    ])
  })

  it('are what the drums hold first', () => {
    const feeders = [
      feeder({ role: 'primary', drum: drum('calciumHypochlorite') }),
      feeder({ role: 'ph', drum: drum('sulfuricAcid') }),
    ]
    expect(keysOf({ feeders }).slice(0, 3)).toEqual(['calciumHypochlorite65', 'sulfuricAcid38', 'sodiumBicarbonate'])
  })

  it('are acid besides carbon dioxide, which takes no alkalinity, and hypochlorite besides trichlor', () => {
    const feeders = [
      feeder({ role: 'primary', kind: 'erosion', drum: drum('trichlor') }),
      feeder({ role: 'ph', kind: 'co2', drum: drum('carbonDioxide') }),
    ]
    expect(keysOf({ feeders }).slice(0, 4)).toEqual([
      'trichlor',
      'carbonDioxide',
      'sodiumHypochloriteTrade12',
      'hydrochloricAcid31',
    ])
  })

  it('count once when two drums hold the same', () => {
    expect(keysOf({ feeders: [HYPOCHLORITE_PUMP, { ...HYPOCHLORITE_PUMP, id: 'backup' }] })[1]).toBe(
      'hydrochloricAcid31',
    )
  })

  it('are bromine tablets where bromine sanitizes, and never thiosulfate or cyanuric acid unasked', () => {
    const keys = keysOf({ body: { ...snapshot().body, sanitizerSystem: 'bromine' } })
    expect(keys[0]).toBe('bromineTablets')
    for (const key of keys) expect(['reducer', 'stabilizer']).not.toContain(CHEMICALS[key].family)
  })

  it('can be chosen', () => {
    const tests = tested({ ...GOOD, ph: 8 })
    const made = plan(snapshot({ tests }), { chemicals: [CHEMICALS.sodiumBisulfate] })
    expect(stepsOf(made)).toEqual(['sodiumBisulfate'])
    expect(made.chemicals).toEqual([CHEMICALS.sodiumBisulfate])
    expect(text(made.assumed)).not.toMatch(/label/)
  })
})

describe('time', () => {
  it('alone takes a plan back', () => {
    const given = snapshot({ controller: controller({}, hours(24)) })
    expect(plan(given).plan).not.toBeNull()
    expect(plan(given, {}, 'cdc-mahc', NOW + 3 * DAY).plan).toBeNull()
  })
})
