// What is found of probes opens, is seen and closes like every other finding.
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { hear, hoursBefore, makePlant, post, START, startTestApi, type TestApi, test } from './support/company.ts'

let api: TestApi
beforeAll(async () => {
  api = await startTestApi()
  api.clock.now = START
})
afterAll(() => api.stop())

const isoBefore = (hours: number) => hoursBefore(api, hours).toISOString()
const later = (hours: number) => {
  api.clock.now = new Date(+api.clock.now + hours * 3_600_000)
}
const probeFindings = async (bodyId: string) =>
  (
    await api.db.pool.query(
      `SELECT kind, found ->> 'family' AS family, closed_at IS NOT NULL AS closed FROM finding
      WHERE body_id = $1 AND (kind LIKE 'phProbe%' OR kind LIKE 'orp%' OR kind = 'setPointOff') ORDER BY opened_at, id`,
      [bodyId],
    )
  ).rows

it('a pH probe that parted is to be retested, then to be calibrated, and is forgotten once it agrees again', async () => {
  const { body } = await makePlant(api)
  await hear(api, body.id, hoursBefore(api, 1), { ph: 7.8, orp_mv: 731 })
  const tested = (displayPh: number) =>
    test(api, body.id, { at: isoBefore(0.2), values: { freeChlorineMgL: 3, ph: 7.4 }, displayPh, displayOrpMv: 731 })
  const retest = { kind: 'phProbeDisagrees', family: 'evidence' }
  const calibrate = { kind: 'phProbeDrifted', family: 'probe' }

  await tested(7.8)
  expect(await probeFindings(body.id)).toEqual([{ ...retest, closed: false }])
  later(12)
  await tested(7.8)
  later(12)
  await tested(7.8)
  expect(await probeFindings(body.id)).toEqual([
    { ...retest, closed: true },
    { ...calibrate, closed: false },
  ])

  later(2)
  const work = [{ id: uuidv7(), bodyId: body.id, person: 'Ines Calloway', kind: 'phCalibrated', at: isoBefore(1) }]
  await post(api, '/work', { work })
  await tested(7.42)
  expect(await probeFindings(body.id)).toEqual([
    { ...retest, closed: true },
    { ...calibrate, closed: true },
  ])
})
