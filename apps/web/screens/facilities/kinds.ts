import { DEFAULT_PROFILE_KEY, SANITIZER_SYSTEMS, type Unit } from '@sightglass/chemistry'
import type { Endpoints, Plant } from '@sightglass/contract'
import { QUANTITY_RANGES } from '@sightglass/contract'
import {
  DRUM_CONTENT_WORDS,
  FEEDER_KIND_WORDS,
  FEEDER_ROLE_WORDS,
  optionsOf,
  SANITIZER_WORDS,
  SETTING_WORDS,
  USE_CLASS_WORDS,
} from '../../shared/words.ts'
import { zones } from '../../shared/zones.ts'

interface Option {
  value: string
  label: string
}

/** One thing that a person may set. */
export interface FieldSpec {
  name: string
  label: string
  type: 'text' | 'note' | 'email' | 'tel' | 'select' | 'check' | 'number'
  required?: boolean
  hint?: string
  /** Of a number: what it is stored in; it is shown and typed in the reader's unit. */
  unit?: Unit
  /** Of a number without conversion: what stands behind its label. */
  suffix?: string
  options?: Option[]
  /** Of a select: the words for nothing chosen. */
  empty?: string
}

export const THINGS = ['facility', 'equipmentRoom', 'body', 'controller', 'channel', 'feeder', 'drum'] as const
export type Thing = (typeof THINGS)[number]

export interface ThingSpec {
  words: string
  /** With its article: `an equipment room`. */
  one: string
  create: keyof Endpoints
  edit: keyof Endpoints | null
  retire: keyof Endpoints
  /** The name of its id in the API's paths. */
  param: string
}

export const SPECS: Record<Thing, ThingSpec> = {
  facility: {
    words: 'facility',
    one: 'a facility',
    create: 'createFacility',
    edit: 'editFacility',
    retire: 'retireFacility',
    param: 'facilityId',
  },
  equipmentRoom: {
    words: 'equipment room',
    one: 'an equipment room',
    create: 'createEquipmentRoom',
    edit: 'editEquipmentRoom',
    retire: 'retireEquipmentRoom',
    param: 'equipmentRoomId',
  },
  body: {
    words: 'body of water',
    one: 'a body of water',
    create: 'createBody',
    edit: 'editBody',
    retire: 'retireBody',
    param: 'bodyId',
  },
  controller: {
    words: 'controller',
    one: 'a controller',
    create: 'createController',
    edit: 'editController',
    retire: 'retireController',
    param: 'controllerId',
  },
  channel: {
    words: 'channel',
    one: 'a channel',
    create: 'createChannel',
    edit: null,
    retire: 'retireChannel',
    param: 'channelId',
  },
  feeder: {
    words: 'feeder',
    one: 'a feeder',
    create: 'createFeeder',
    edit: 'editFeeder',
    retire: 'retireFeeder',
    param: 'feederId',
  },
  drum: { words: 'drum', one: 'a drum', create: 'createDrum', edit: 'editDrum', retire: 'retireDrum', param: 'drumId' },
}

const NAME: FieldSpec = { name: 'name', label: 'Name', type: 'text', required: true }
const NOTE: FieldSpec = { name: 'note', label: 'Note', type: 'note' }

/** The fields of a thing; what it can be tied to comes from the plant. */
export function fieldsOf(thing: Thing, plant: Plant | null, profiles: Option[], zone: string): FieldSpec[] {
  const rooms = named(plant?.equipmentRooms)
  const bodies = named(plant?.bodies)
  const drums = named(plant?.drums)
  switch (thing) {
    case 'facility':
      return [
        NAME,
        { name: 'address', label: 'Address', type: 'text' },
        { name: 'area', label: 'Technician area', type: 'text', hint: 'Whose round it lies in' },
        { name: 'timeZone', label: 'Time zone', type: 'select', required: true, options: zones(zone) },
        {
          name: 'profileKey',
          label: 'Code profile',
          type: 'select',
          required: true,
          options: profiles.length ? profiles : [{ value: DEFAULT_PROFILE_KEY, label: DEFAULT_PROFILE_KEY }],
          hint: 'Whose limits apply',
        },
        { name: 'contactName', label: 'Contact', type: 'text' },
        { name: 'contactEmail', label: 'E-mail', type: 'email' },
        { name: 'contactPhone', label: 'Phone', type: 'tel' },
        NOTE,
      ]
    case 'equipmentRoom':
    case 'controller':
      return [NAME, NOTE]
    case 'body':
      return [
        NAME,
        { name: 'useClass', label: 'Use', type: 'select', required: true, options: optionsOf(USE_CLASS_WORDS) },
        { name: 'setting', label: 'Setting', type: 'select', required: true, options: optionsOf(SETTING_WORDS) },
        {
          name: 'sanitizerSystem',
          label: 'Sanitizer system',
          type: 'select',
          required: true,
          options: SANITIZER_SYSTEMS.map((value) => ({ value, label: SANITIZER_WORDS[value] })),
        },
        {
          name: 'cyanuricAcidUsed',
          label: 'The water is meant to hold cyanuric acid (stabilized products)',
          type: 'check',
        },
        { name: 'volumeL', label: 'Volume', type: 'number', unit: 'L' },
        { name: 'surfaceM2', label: 'Surface', type: 'number', unit: 'm²' },
        { name: 'flowLMin', label: 'Recirculation flow', type: 'number', unit: 'L/min' },
        { name: 'equipmentRoomId', label: 'Equipment room', type: 'select', options: rooms, empty: 'none yet' },
        NOTE,
      ]
    case 'channel':
      return [
        { name: 'bodyId', label: 'Body of water', type: 'select', required: true, options: bodies },
        {
          name: 'quantity',
          label: 'What it reports',
          type: 'select',
          required: true,
          options: Object.entries(QUANTITY_RANGES).map(([value, { words }]) => ({ value, label: words })),
        },
      ]
    case 'feeder':
      return [
        NAME,
        { name: 'role', label: 'Role', type: 'select', required: true, options: optionsOf(FEEDER_ROLE_WORDS) },
        { name: 'kind', label: 'Kind', type: 'select', required: true, options: optionsOf(FEEDER_KIND_WORDS) },
        {
          name: 'drumId',
          label: 'Draws from',
          type: 'select',
          options: drums,
          empty: 'no drum (a generator draws from the salt in the water)',
        },
        { name: 'rateLH', label: 'Delivers at 100 %', type: 'number', unit: 'L/h' },
        {
          name: 'onTimeMin',
          label: 'Longest on-time',
          type: 'number',
          suffix: 'min',
          hint: 'As the controller is set',
        },
        { name: 'waitMin', label: 'Wait after it', type: 'number', suffix: 'min' },
        {
          name: 'band',
          label: 'Proportional band',
          type: 'number',
          suffix: 'mV or pH',
          hint: 'How far from the set point it feeds all of its on-time: mV for a sanitizer, pH for acid',
        },
        NOTE,
      ]
    case 'drum':
      return [
        NAME,
        { name: 'content', label: 'Content', type: 'select', required: true, options: optionsOf(DRUM_CONTENT_WORDS) },
        {
          name: 'strengthPct',
          label: 'Strength',
          type: 'number',
          suffix: '%',
          hint: 'By weight; trade per cent for sodium hypochlorite',
        },
        { name: 'capacityL', label: 'Holds when full', type: 'number', unit: 'L', required: true },
        NOTE,
      ]
  }
}

const named = (things: { id: string; name: string; retiredAt: string | null }[] = []): Option[] =>
  things.filter(({ retiredAt }) => retiredAt === null).map(({ id, name }) => ({ value: id, label: name }))
