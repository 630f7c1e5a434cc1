import type { Body, Channel, Controller, Drum, EquipmentRoom, Facility, Feeder } from '@sightglass/contract'

/** What stands at a customer's property, each kind as the contract shows it. */
export interface Things {
  facility: Facility
  equipmentRoom: EquipmentRoom
  body: Body
  controller: Controller
  channel: Channel
  drum: Drum
  feeder: Feeder
}
export type Kind = keyof Things
/** What a person may set: everything but what the server keeps. */
export type Settable<K extends Kind> = Omit<Things[K], 'id' | 'retiredAt' | 'createdAt' | 'updatedAt'>
