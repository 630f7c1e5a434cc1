'use client'
import type { EquipmentRoom, Plant } from '@sightglass/contract'
import Link from 'next/link'
import { useUnits } from '../../shared/Units.tsx'
import { useNow } from '../../shared/useNow.ts'
import { WideTable } from '../../shared/WideTable.tsx'
import type { PlantActions } from './actions.ts'
import type { Thing } from './kinds.ts'
import { channelsByBody, prepareBody, prepareDrum, prepareFeeder } from './prepare.ts'

interface Given {
  plant: Plant
  actions: PlantActions
}

type Item = { id: string; name: string; retiredAt: string | null }

function Head({ title, add, onAdd }: { title: string; add: string; onAdd: (() => void) | null }) {
  return (
    <header className="section-head">
      <h2>{title}</h2>
      {onAdd && (
        <button type="button" className="button quiet small" onClick={onAdd}>
          {add}
        </button>
      )}
    </header>
  )
}

function ItemButtons({
  thing,
  item,
  actions,
  level,
}: {
  thing: Thing
  item: Item
  actions: PlantActions
  level?: boolean
}) {
  if (item.retiredAt) return <span className="faint">retired</span>
  return (
    <span className="item-buttons">
      {level && (
        <button type="button" className="link-button" onClick={() => actions.level(item.id, item.name)}>
          Record level<span className="unseen"> of {item.name}</span>
        </button>
      )}
      <button type="button" className="link-button" onClick={() => actions.edit(thing, item)}>
        Edit<span className="unseen"> {item.name}</span>
      </button>
      <button type="button" className="link-button" onClick={() => actions.retire(thing, item, item.name)}>
        Retire<span className="unseen"> {item.name}</span>
      </button>
    </span>
  )
}

export function Bodies({ plant, actions }: Given) {
  const system = useUnits()
  return (
    <section aria-label="Bodies of water">
      <Head
        title="Bodies of water"
        add="Add a body of water"
        onAdd={plant.facility.retiredAt === null ? () => actions.add('body', { facilityId: plant.facility.id }) : null}
      />
      {plant.bodies.length === 0 ? (
        <p>None yet. Add each pool, spa, wading pool or splash pad that has a recirculation of its own.</p>
      ) : (
        <WideTable label="Bodies of water">
          <table className="ledger">
            <thead>
              <tr>
                <th scope="col">Name</th>
                <th scope="col">Kind</th>
                <th scope="col" className="number">
                  Volume
                </th>
                <th scope="col" className="number">
                  Flow
                </th>
                <th scope="col" className="number">
                  Turnover
                </th>
                <th scope="col">Room</th>
                <th scope="col">
                  <span className="unseen">Change</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {plant.bodies.map((body) => {
                const model = prepareBody(body, plant, system)
                return (
                  <tr key={body.id}>
                    <th scope="row">
                      <Link href={`/bodies/${body.id}`}>{body.name}</Link>
                    </th>
                    <td>
                      {model.facts}
                      {model.stabilized && ', stabilized'}
                    </td>
                    <td className="number">{model.volume}</td>
                    <td className="number">{model.flow}</td>
                    <td className="number">{model.turnover}</td>
                    <td>{model.room}</td>
                    <td>
                      <ItemButtons thing="body" item={body} actions={actions} />
                    </td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        </WideTable>
      )}
    </section>
  )
}

export function Rooms({ plant, actions, at }: Given & { at: string }) {
  return (
    <section aria-label="Equipment rooms">
      <Head
        title="Equipment rooms"
        add="Add an equipment room"
        onAdd={
          plant.facility.retiredAt === null
            ? () => actions.add('equipmentRoom', { facilityId: plant.facility.id })
            : null
        }
      />
      {plant.equipmentRooms.length === 0 && (
        <p>None yet. A room holds the controllers and drums of one or more bodies of water.</p>
      )}
      {plant.equipmentRooms.map((room) => (
        <Room key={room.id} room={room} plant={plant} actions={actions} at={at} />
      ))}
    </section>
  )
}

function Room({ room, plant, actions, at }: Given & { room: EquipmentRoom; at: string }) {
  const controllers = plant.controllers.filter(({ equipmentRoomId }) => equipmentRoomId === room.id)
  return (
    <section className="room" aria-label={room.name}>
      <header className="section-head">
        <h3>{room.name}</h3>
        <ItemButtons thing="equipmentRoom" item={room} actions={actions} />
      </header>
      {room.note && <p className="faint">{room.note}</p>}
      <div className="room-columns">
        <div>
          <h4>Controllers</h4>
          {controllers.map((controller) => (
            <div key={controller.id} className="controller">
              <p>
                <strong>{controller.name}</strong>{' '}
                <ItemButtons thing="controller" item={controller} actions={actions} />
              </p>
              <Channels controllerId={controller.id} plant={plant} actions={actions} />
              {!controller.retiredAt && (
                <button
                  type="button"
                  className="link-button"
                  onClick={() => actions.add('channel', { controllerId: controller.id })}
                >
                  Add a channel<span className="unseen"> to {controller.name}</span>
                </button>
              )}
            </div>
          ))}
          <button
            type="button"
            className="button quiet small"
            onClick={() => actions.add('controller', { equipmentRoomId: room.id })}
          >
            Add a controller<span className="unseen"> to {room.name}</span>
          </button>
        </div>
        <Drums room={room} plant={plant} actions={actions} at={at} />
      </div>
    </section>
  )
}

function Channels({ controllerId, plant, actions }: Given & { controllerId: string }) {
  return (
    <ul className="channels">
      {channelsByBody(plant, controllerId).map(({ bodyId, bodyName, channels }) => (
        <li key={bodyId}>
          {bodyName}:{' '}
          {channels.map((channel) => (
            <span key={channel.id} className="channel">
              {channel.words}
              {channel.retiredAt ? (
                <span className="faint"> retired</span>
              ) : (
                <button
                  type="button"
                  className="channel-retire"
                  title={`Retire the channel ${channel.words} of ${bodyName}`}
                  onClick={() => actions.retire('channel', channel, `the channel ${channel.words} of ${bodyName}`)}
                >
                  <span aria-hidden="true">×</span>
                  <span className="unseen">
                    Retire the channel {channel.words} of {bodyName}
                  </span>
                </button>
              )}
            </span>
          ))}
        </li>
      ))}
    </ul>
  )
}

function Drums({ room, plant, actions, at }: Given & { room: EquipmentRoom; at: string }) {
  const system = useUnits()
  const now = useNow(at)
  const drums = plant.drums.filter(({ equipmentRoomId }) => equipmentRoomId === room.id)
  return (
    <div>
      <h4>Drums</h4>
      <ul className="plain-list">
        {drums.map((drum) => {
          const model = prepareDrum(drum, system, plant.facility.timeZone, now)
          return (
            <li key={drum.id}>
              <strong>{drum.name}</strong>, {model.content}, holds {model.capacity}
              <br />
              <span className="faint" suppressHydrationWarning>
                Level: {model.level}
              </span>{' '}
              <ItemButtons thing="drum" item={drum} actions={actions} level />
            </li>
          )
        })}
      </ul>
      <button
        type="button"
        className="button quiet small"
        onClick={() => actions.add('drum', { equipmentRoomId: room.id })}
      >
        Add a drum<span className="unseen"> to {room.name}</span>
      </button>
    </div>
  )
}

export function Feeders({ plant, actions }: Given) {
  const system = useUnits()
  const bodies = plant.bodies.filter(({ retiredAt }) => retiredAt === null)
  return (
    <section aria-label="Feeders">
      <header className="section-head">
        <h2>Feeders</h2>
      </header>
      {plant.feeders.length > 0 && (
        <WideTable label="Feeders">
          <table className="ledger">
            <thead>
              <tr>
                <th scope="col">Feeder</th>
                <th scope="col">Feeds</th>
                <th scope="col">Role</th>
                <th scope="col">Kind</th>
                <th scope="col">Draws from</th>
                <th scope="col" className="number">
                  At 100 %
                </th>
                <th scope="col">
                  <span className="unseen">Change</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {plant.feeders.map((feeder) => {
                const model = prepareFeeder(feeder, plant.drums, plant.bodies, system)
                return (
                  <tr key={feeder.id}>
                    <th scope="row">{feeder.name}</th>
                    <td>{model.body}</td>
                    <td>{model.role}</td>
                    <td>{model.kind}</td>
                    <td>{model.drum}</td>
                    <td className="number">{model.rate}</td>
                    <td>
                      <ItemButtons thing="feeder" item={feeder} actions={actions} />
                    </td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        </WideTable>
      )}
      <p className="buttons">
        {bodies.map((body) => (
          <button
            key={body.id}
            type="button"
            className="button quiet small"
            onClick={() => actions.add('feeder', { bodyId: body.id })}
          >
            Add a feeder to {body.name}
          </button>
        ))}
        {bodies.length === 0 && <span className="faint">A feeder doses one body of water: add that first.</span>}
      </p>
    </section>
  )
}
