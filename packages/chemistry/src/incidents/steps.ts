import { PH_TEST_BLEACHED_MGL } from '../dosing/plan.ts'
import type { Phrase, Quantified } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import type { IncidentFacts } from '../snapshot.ts'
import { SOURCES, type SourceKey } from '../sources.ts'
import { MINUTE_MS } from '../time.ts'
import { basisOf } from './basis.ts'
import type { ContactTime, CountedReading } from './contact.ts'
import type { Protocol } from './protocol.ts'

/** One step of the response. */
export interface ResponseStep {
  key: string
  text: Phrase
  notes: Phrase[]
  state: 'done' | 'now' | 'later'
  /** Whose step it is; null for common practice, no source. */
  citation: string | null
}

interface Draft extends Omit<ResponseStep, 'state' | 'citation' | 'notes'> {
  done: boolean
  source?: SourceKey
  /** Where it is not one of our sources. */
  citation?: string | null
  notes?: Phrase[]
}

/**
 * What to do after an incident, in order. What tests prove counts as done; the first step that is not is due now.
 * @param obstacles what keeps bathers out besides the contact time; null when that was not looked at
 */
export function responseSteps(
  incident: IncidentFacts,
  contact: ContactTime,
  nowMs: number,
  obstacles: readonly Phrase[] | null = null,
): ResponseStep[] {
  const newest = contact.readings.at(-1)
  const reached = contact.state === 'reached'
  const drafts = [
    ...clearing(incident, newest !== undefined),
    ...choosing(contact),
    ...(contact.protocol ? treating(incident, contact, contact.protocol, nowMs) : []),
    ...reopening(reached, obstacles),
  ]
  const first = drafts.findIndex(({ done }) => !done)
  // once the time is reached, filter and level do not wait for each other; closing waits for the level
  const free = ({ key }: Draft) => reached && (key !== 'close' || obstacles?.length === 0)
  const due = (draft: Draft, index: number) => !draft.done && (index === first || free(draft))
  return drafts.map((draft, index) => {
    const { done, source, citation = source ? SOURCES[source].citation : null, notes = [], ...step } = draft
    const state = done ? 'done' : due(draft, index) ? 'now' : 'later'
    return { ...step, notes, state, citation }
  })
}

/** Whoever enters a test has begun: what comes before it is taken for done. */
const clearing = ({ kind }: IncidentFacts, tested: boolean): Draft[] => [
  {
    key: 'clear',
    text: say('Get everyone out of the water and keep them out, also of every other water on the same filter.'),
    done: tested,
    source: 'cdcMmwr2001',
  },
  {
    key: 'remove',
    text: say(
      'Take out what can be taken out with a net or bucket, get rid of it hygienically, and disinfect the net. Do not vacuum it.',
    ),
    done: tested,
    ...(kind === 'vomit' ? {} : { source: 'cdcMmwr2001' as const }),
  },
]

function choosing({ protocol, because, cyanuricAcidMissing }: ContactTime): Draft[] {
  if (protocol || !because) return []
  if (cyanuricAcidMissing)
    return [
      {
        key: 'cyanuricAcid',
        text: say('Test cyanuric acid and enter it.'),
        notes: [because, say('Tests of free chlorine made meanwhile count as soon as it is known.')],
        done: false,
        source: 'mahc65321',
      },
    ]
  return [
    {
      key: 'ask',
      text: say('Ask the health department which level to hold and for how long, and enter what it says; or drain.'),
      notes: [because],
      done: false,
    },
  ]
}

/** A little over the level to hold, so that it is not under it by the next test. Common practice, no source. */
const AIM_SHARE = 1.1
export const aimMgL = ({ freeChlorineMgL }: Protocol): number => freeChlorineMgL * AIM_SHARE

function treating(incident: IncidentFacts, contact: ContactTime, protocol: Protocol, nowMs: number): Draft[] {
  const newest = contact.readings.at(-1)
  const reached = contact.state === 'reached'
  const { freeChlorineMgL, phMax, tempMinC, ctMgMinL, holdMin } = protocol
  const target = quantified(freeChlorineMgL, 'mg/L')
  return [
    {
      key: 'ph',
      text: say('Bring pH to {0} or lower before the chlorine is raised.', quantified(phMax, 'pH')),
      done: reached || (newest?.ph != null && newest.ph <= phMax),
      source: phMax < 7 ? 'mahc65321' : 'mahc6523',
    },
    {
      key: 'temperature',
      text: say('Keep the water at {0} or warmer.', quantified(tempMinC, '°C')),
      done: reached || (newest?.tempC != null && newest.tempC >= tempMinC),
      source: 'mahc6523',
    },
    {
      key: 'raise',
      text: say(
        'Raise free chlorine to {0}, better to {1}, with chlorine that holds no stabilizer. Filter and circulation run.',
        target,
        quantified(aimMgL(protocol), 'mg/L'),
      ),
      notes: [
        say('Take the controller’s feeds into your hand meanwhile: at such a level its probes and set points mislead.'),
        say(
          'Many kits end at {0}: use one that reads higher, or dilute as its instructions say.',
          quantified(10, 'mg/L'),
        ),
      ],
      done: reached || (newest !== undefined && newest.freeChlorineMgL >= freeChlorineMgL),
      source: 'mahc6523',
    },
    {
      key: 'hold',
      text: say(
        'Hold {0} until CT is {1}: {2} at that level.',
        target,
        quantified(ctMgMinL, 'mg·min/L'),
        quantified(holdMin, 'min'),
      ),
      notes: [
        say('Test free chlorine, pH and temperature together, at least every hour, and before and after each dose.'),
        say('Test at three places or more, away from the inlets; enter the lowest chlorine and the highest pH.'),
        ...(freeChlorineMgL > PH_TEST_BLEACHED_MGL
          ? [
              say(
                'Over {0} of free chlorine the dye of a pH test misleads: use a meter.',
                quantified(PH_TEST_BLEACHED_MGL, 'mg/L'),
              ),
            ]
          : []),
        ...standing(contact, protocol, newest, nowMs),
      ],
      done: reached,
      citation: basisOf(protocol, incident.instruction)[0]?.citation ?? null,
    },
  ]
}

const HOUR_MIN = 60
/** Rounded up as far as it will be shown, so that nobody comes too early. */
function span(minutes: number): Quantified {
  if (minutes < 2 * HOUR_MIN) return quantified(Math.ceil(minutes), 'min')
  const hours = minutes / HOUR_MIN
  return quantified(hours < 10 ? Math.ceil(hours * 10) / 10 : Math.ceil(hours), 'h')
}

/** A stretch without a test that asks for a word of its own. Common practice, no source. */
const LONG_STRETCH_MIN = 2 * HOUR_MIN

function standing(
  { state, earliestMs, longestStretchMin }: ContactTime,
  protocol: Protocol,
  newest: CountedReading | undefined,
  nowMs: number,
): Phrase[] {
  const notes: Phrase[] = []
  if (state === 'running' && newest && earliestMs !== null)
    notes.push(
      nowMs >= earliestMs
        ? say('If the level held, it is complete by now: test, and enter what you find.')
        : say(
            'If the level of the last test holds, it is complete {0} after that test; only a test then proves it.',
            span((earliestMs - newest.atMs) / MINUTE_MS),
          ),
    )
  if (state === 'interrupted')
    notes.push(
      say('The last test does not count, so the time stands still:'),
      ...(newest?.why ?? []),
      say(
        protocol.countsAbove
          ? 'What was proved before stays. It goes on with the next test at {0} or more.'
          : 'The level must be held without a break: the time starts anew with the next test at {0} or more.',
        quantified(protocol.freeChlorineMgL, 'mg/L'),
      ),
    )
  if (longestStretchMin > LONG_STRETCH_MIN)
    notes.push(
      say(
        'Once nobody tested for {0}: that time counts at the lower of the two levels around it, which nobody saw.',
        span(longestStretchMin),
      ),
    )
  return notes
}

const reopening = (reached: boolean, obstacles: readonly Phrase[] | null): Draft[] => [
  {
    key: 'filter',
    text: say('Backwash the filter to waste and never back into the water, or clean it, or replace its medium.'),
    done: false,
  },
  {
    key: 'lower',
    text: say(
      'Let free chlorine fall back to where bathers may be in it, or bring it down by the product’s label; bring pH back. Then test, and enter it.',
    ),
    notes: reached ? [...(obstacles ?? [])] : [],
    done: reached && obstacles?.length === 0,
  },
  { key: 'close', text: say('Go through the checks and close the incident.'), done: false },
]
