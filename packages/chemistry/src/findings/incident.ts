import type { EvidenceLine, Finding, Phrase, Quantified } from '../finding.ts'
import { type ContactTime, contactTime } from '../incidents/contact.ts'
import { incidentWater } from '../incidents/protocol.ts'
import { conditionFits } from '../profiles/lookup.ts'
import type { IncidentFacts } from '../snapshot.ts'
import { INCIDENT_WORDS } from '../words.ts'
import type { Facts } from './facts.ts'
import { finding, quantified, say, shown } from './make.ts'

/** Bathers stay out from the moment an incident is reported until a person closes it. */
export const incidentFindings = (facts: Facts): Finding[] =>
  facts.snapshot.incidents.map((incident) => {
    const contact = contactOf(facts, incident)
    if (contact.earliestMs !== null) facts.changesAt(contact.earliestMs)
    return finding({
      kind: 'incidentOpen',
      subject: incident.id,
      severity: 'close',
      sentence: sentenceOf(incident, contact),
      value: contact.share === null ? null : provedPct(contact),
      sinceMs: incident.atMs,
      evidence: evidenceOf(contact),
      advice: [...adviceOf(contact, facts.nowMs), ...closingRule(facts), PAGE],
      cautions: ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'acidIntoWater', 'retestBeforeBathers'],
    })
  })

/** A test that carries a time ahead of the clock proves nothing before that time has come. */
function contactOf(facts: Facts, incident: IncidentFacts): ContactTime {
  for (const { atMs } of incident.readings) facts.changesAt(atMs)
  return contactTime(incident, incidentWater(facts.snapshot), facts.nowMs)
}

/** Whole per cent, rounded down: 99.9 % is not all of it. */
const provedPct = ({ share }: ContactTime): Quantified => quantified(Math.floor((share ?? 0) * 100), '%')

function sentenceOf({ kind }: IncidentFacts, contact: ContactTime): Phrase {
  const what = `${INCIDENT_WORDS[kind]} in the water: bathers stay out.`
  switch (contact.state) {
    case 'noProtocol':
      return contact.cyanuricAcidMissing
        ? say(`${what} Cyanuric acid must be tested to know what the water needs.`)
        : say(`${what} No published level and time fits this water: the health department decides.`)
    case 'notStarted':
      return say(
        `${what} The contact time has not started: no test since shows {0} free chlorine under the right conditions.`,
        quantified(contact.protocol?.freeChlorineMgL ?? 0, 'mg/L'),
      )
    case 'running':
      return say(`${what} {0} of the contact time is proved by tests.`, provedPct(contact))
    case 'interrupted':
      return say(
        `${what} {0} of the contact time is proved by tests, and it stands still: the last test does not count.`,
        provedPct(contact),
      )
    case 'reached':
      return say(`${what} The contact time is reached; the checks before opening are left.`)
  }
}

/** What is due, in short: the incident's page has the steps. Kept apart from them, because browsers load this one too. */
function adviceOf(contact: ContactTime, nowMs: number): Phrase[] {
  const { protocol, because, state, earliestMs, readings } = contact
  const level = quantified(protocol?.freeChlorineMgL ?? 0, 'mg/L')
  const ph = quantified(protocol?.phMax ?? 0, 'pH')
  switch (state) {
    case 'noProtocol':
      return because ? [because] : []
    case 'notStarted':
      return [
        say('Take out what can be taken out. Bring pH to {0} or lower.', ph),
        say('Then raise free chlorine to {0} with chlorine that holds no stabilizer, and test.', level),
      ]
    case 'running':
      return [
        earliestMs !== null && nowMs >= earliestMs
          ? say('If the level held, it is complete by now: test, and enter what you find.')
          : say('Hold {0} at pH {1} or lower; test both and the temperature at least every hour.', level, ph),
      ]
    case 'interrupted':
      return [...(readings.at(-1)?.why ?? []), say('Put that right, and test again: what was proved before stays.')]
    case 'reached':
      return [
        say(
          'Clean the filter, let chlorine and pH come back to where bathers may be in them, test, and close the incident.',
        ),
      ]
  }
}
/** The rule by which the code profile closes for it, where it has one; elsewhere it is the published response that keeps bathers out. */
function closingRule({ profile, body }: Facts): Phrase[] {
  const rule = profile.closures.find(({ trigger, when }) => trigger === 'fecesOrVomit' && conditionFits(when, body))
  return rule ? [say(`The code profile closes for it: ${rule.citation.document}, ${rule.citation.section}.`)] : []
}

const PAGE = say('What to do step by step, and the tests that count, stand on the page of the incident.')

function evidenceOf({ readings, protocol, ctMgMinL, asOfMs }: ContactTime): EvidenceLine[] {
  const newest = readings.at(-1)
  if (!newest || !protocol) return []
  const { atMs, ph, tempC } = newest
  return [
    shown('Free chlorine', newest.freeChlorineMgL, 'mg/L', atMs, 'test'),
    ...(ph === null ? [] : [shown('pH', ph, 'pH', atMs, 'test')]),
    ...(tempC === null ? [] : [shown('Water temperature', tempC, '°C', atMs, 'test')]),
    shown('CT proved', ctMgMinL, 'mg·min/L', asOfMs, 'derived'),
    shown('CT needed', protocol.ctMgMinL, 'mg·min/L', null, 'derived'),
  ]
}

/**
 * What is so on purpose while the water is disinfected after an incident: its advice would work against that, and the body is
 * closed anyway.
 */
export function raisedOnPurpose(facts: Facts): (found: Finding) => boolean {
  const underWay = facts.snapshot.incidents.map((incident) => contactOf(facts, incident)).filter(isUnderWay)
  if (underWay.length === 0) return () => false
  const acid = underWay.some(({ protocol }) => protocol !== null && protocol.phMax < 7)
  return ({ kind, severity, limit }) => {
    if (kind === 'freeChlorineHigh' || kind === 'totalChlorineHigh') return true
    if (kind === 'orpDrifted' || kind === 'setPointOff') return true
    if (kind === 'orpOutOfRange') return limit?.side === 'max'
    return kind === 'phLow' && acid && severity !== 'close'
  }
}
const isUnderWay = ({ state, cyanuricAcidMissing }: ContactTime) =>
  state !== 'reached' && (state !== 'noProtocol' || cyanuricAcidMissing)
