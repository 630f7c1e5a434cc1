import type { EvidenceLine, Finding, Phrase } from '../finding.ts'
import type { NewestPh, PhProbeAgreement, SlopeSign } from '../redox/types.ts'
import type { FindingSeverity } from '../vocabulary.ts'
import type { Facts } from './facts.ts'
import { finding, quantified, say, shown } from './make.ts'
import { phProbeOf, probeGap } from './probe.ts'

// The rule of the trade in all of them: when pH and test kit part, the probe is calibrated and its set point left alone.

/** Further apart than this, feed by the probe does harm within the day. Common practice, no source. */
const FAR_APART_PH = 0.5

const feedsByProbe = ({ latest, snapshot }: Facts) =>
  latest?.phFeedPct != null || snapshot.feeders.some(({ role }) => role === 'ph')

const isFar = (apart: number): FindingSeverity => (apart > FAR_APART_PH ? 'act' : 'watch')

/** One test alone says so: a retest decides. What several tests say is told of the probe, by `phProbeFindings`. */
export function phProbeDisagrees(facts: Facts): Finding[] {
  const known = phProbeOf(facts)
  const gap = known && known.state !== 'retest' ? null : probeGap(facts)
  if (!gap) return []
  return [
    finding({
      kind: 'phProbeDisagrees',
      severity: isFar(gap.apart),
      sentence: say(
        'The controller showed pH {0} when the test kit showed {1}.',
        quantified(gap.shownPh, 'pH'),
        quantified(gap.testedPh, 'pH'),
      ),
      value: quantified(gap.shownPh, 'pH'),
      sinceMs: gap.testedAtMs,
      evidence: readings(gap),
      advice: [
        ...stopFeed(facts, gap),
        say('Repeat the test with fresh reagents from a sample at the flow cell.'),
        say('If they still part, clean and calibrate the pH probe. Leave the pH set point alone.'),
      ],
      cautions: ['localCodeFirst'],
    }),
  ]
}

/** By a probe that reads high, acid is fed that nobody needs. */
const stopFeed = (facts: Facts, { apart, shownPh, testedPh }: NewestPh): Phrase[] =>
  apart > FAR_APART_PH && shownPh > testedPh && feedsByProbe(facts)
    ? [say('Stop the pH feed by hand until they agree: by a probe that reads high, too much is fed.')]
    : []

const readings = (gap: NewestPh): EvidenceLine[] => [
  shown('pH by test kit', gap.testedPh, 'pH', gap.testedAtMs, 'test'),
  shown('pH by controller', gap.shownPh, 'pH', gap.testedAtMs, 'controller'),
]

/** What all tests together say of the pH probe. */
export function phProbeFindings(facts: Facts): Finding[] {
  const known = phProbeOf(facts)
  if (known?.state === 'calibrate') return [drifted(facts, known)]
  return known?.state === 'slopeGone' ? [faulty(facts, known)] : []
}

function drifted(facts: Facts, { newest, offsetPh, trendPhPerMonth, reasons, pairsUsed }: PhProbeAgreement): Finding {
  const gap = probeGap(facts)
  const offset = gap ? gap.shownPh - gap.testedPh : (offsetPh?.value ?? 0)
  const moves = trendPhPerMonth && trendPhPerMonth.low * trendPhPerMonth.high > 0 ? trendPhPerMonth.value : null
  return finding({
    kind: 'phProbeDrifted',
    severity: isFar(Math.abs(offset)),
    sentence: say(
      offset > 0
        ? 'The pH probe reads high: it shows {0} more than the test kit, by more than one test.'
        : 'The pH probe reads low: it shows {0} less than the test kit, by more than one test.',
      quantified(Math.abs(offset), 'pH'),
    ),
    value: quantified(offset, 'pH'),
    sinceMs: newest?.testedAtMs ?? facts.nowMs,
    evidence: [
      ...(newest ? readings(newest) : []),
      ...(offsetPh
        ? [shown('Controller less test kit, by all tests', offsetPh.value, 'pH', null, 'derived' as const)]
        : []),
      shown('Tests compared', pairsUsed, 'count', null, 'derived'),
      ...(moves === null ? [] : [shown('Change of it in a month', moves, 'pH', null, 'derived' as const)]),
    ],
    advice: [
      ...(gap ? stopFeed(facts, gap) : []),
      say('Clean the pH probe first; calibrate it in fresh buffers, or against a test that was made twice.'),
      ...reasons,
    ],
    cautions: ['localCodeFirst'],
    bring: [say('pH buffers'), say('fresh reagents for pH')],
  })
}

const SIGN_WORDS: Record<SlopeSign, string> = {
  calibration: 'Put in a new pH probe and calibrate it in two buffers.',
  'never lasts': 'Put in a new pH probe and calibrate it in two buffers.',
  'stands still':
    'See whether the display moves when the probe hangs in a buffer: if not, look at cable, plug and probe; if it does, the controller held its reading.',
  'hardly follows': 'Hold the probe in two buffers: if it does not part them as it should, put in a new one.',
}

function faulty(facts: Facts, { newest, offsetPh, slopeSign, reasons, evidence }: PhProbeAgreement): Finding {
  const [why, ...more] = reasons
  const stands = slopeSign === 'stands still'
  const gap = probeGap(facts)
  return finding({
    kind: 'phProbeFaulty',
    // what is fed by a display that stands still is fed blind
    severity: stands && feedsByProbe(facts) ? 'act' : isFar(gap?.apart ?? newest?.apart ?? 0),
    sentence: why ?? say('The pH probe no longer follows the water.'),
    value: offsetPh && quantified(offsetPh.value, 'pH'),
    sinceMs: newest?.testedAtMs ?? facts.nowMs,
    evidence: [...evidence],
    advice: [
      ...(gap ? stopFeed(facts, gap) : []),
      ...(slopeSign ? [say(SIGN_WORDS[slopeSign])] : []),
      say('Test pH by hand, and go by the test kit until the probe follows again.'),
      ...more,
    ],
    cautions: ['localCodeFirst'],
    bring: [...(stands ? [] : [say('a pH probe')]), say('pH buffers'), say('fresh reagents for pH')],
  })
}
