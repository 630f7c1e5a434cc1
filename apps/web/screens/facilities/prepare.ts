import { formatQuantity, type Unit } from '@sightglass/chemistry'
import type { Body, Drum, Feeder, Plant } from '@sightglass/contract'
import { QUANTITY_RANGES } from '@sightglass/contract'
import type { System } from '../../shared/measure.ts'
import { plainNumber } from '../../shared/numbers.ts'
import { exactTime } from '../../shared/time.ts'
import { bodyFacts, DRUM_CONTENT_WORDS, FEEDER_KIND_WORDS, FEEDER_ROLE_WORDS } from '../../shared/words.ts'

const amount = (stored: number | null, unit: Unit, system: System) =>
  stored === null ? '' : formatQuantity({ value: stored, unit }, system)

export const prepareBody = (body: Body, plant: Plant, system: System) => ({
  facts: bodyFacts(body),
  volume: amount(body.volumeL, 'L', system),
  flow: amount(body.flowLMin, 'L/min', system),
  turnover:
    body.volumeL !== null && body.flowLMin !== null
      ? formatQuantity({ value: body.volumeL / body.flowLMin / 60, unit: 'h' }, system)
      : '',
  room: plant.equipmentRooms.find(({ id }) => id === body.equipmentRoomId)?.name ?? '',
  stabilized: body.cyanuricAcidUsed,
})

export const prepareDrum = (drum: Plant['drums'][number], system: System, zone: string, nowMs: number) => ({
  content: `${DRUM_CONTENT_WORDS[drum.content]}${drum.strengthPct === null ? '' : `, ${plainNumber(drum.strengthPct, 1)} %`}`,
  capacity: amount(drum.capacityL, 'L', system),
  level: drum.lastLevel
    ? `${amount(drum.lastLevel.levelL, 'L', system)}, ${exactTime(drum.lastLevel.at, zone, nowMs)} by ${drum.lastLevel.person}`
    : 'never read',
})

export const prepareFeeder = (feeder: Feeder, drums: Drum[], bodies: Body[], system: System) => ({
  body: bodies.find(({ id }) => id === feeder.bodyId)?.name ?? '',
  role: FEEDER_ROLE_WORDS[feeder.role],
  kind: FEEDER_KIND_WORDS[feeder.kind],
  drum: drums.find(({ id }) => id === feeder.drumId)?.name ?? '',
  rate: amount(feeder.rateLH, 'L/h', system),
})

/** The channels of one controller by the body that they serve. */
export function channelsByBody(plant: Plant, controllerId: string) {
  const own = plant.channels.filter((channel) => channel.controllerId === controllerId)
  return plant.bodies.flatMap((body) => {
    const channels = own.filter(({ bodyId }) => bodyId === body.id)
    return channels.length
      ? [
          {
            bodyId: body.id,
            bodyName: body.name,
            channels: channels.map((channel) => ({ ...channel, words: QUANTITY_RANGES[channel.quantity].words })),
          },
        ]
      : []
  })
}
