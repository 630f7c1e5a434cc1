'use client'
import type { EquipmentRoom, Plant } from '@sightglass/contract'
import Link from 'next/link'
import { useUnits } from '../../shared/Units.tsx'
import { useNow } from '../../shared/useNow.ts'
import { WideTable } from '../../shared/WideTable.tsx'
import type { PlantActions } from './actions.ts'
import { SPECS, type Thing } from './kinds.ts'
import { channelsByBody, prepareBody, prepareDrum, prepareFeeder } from './prepare.ts'

interface Given {
  plant: Plant
  actions: PlantActions
}

type Item = { id: string; name: string; retiredAt: string | null }

/** Offers one more thing; what it belongs to is said aloud, and shown where several such buttons stand side by side. */
function Add({
  thing,
  belongsTo,
  to,
  showTo,
  actions,
}: {
  thing: Thing
  belongsTo: Record<string, string>
  to?: string
  showTo?: boolean
  actions: PlantActions
}) {
  return (
    <button type="button" className="button quiet small" onClick={() => actions.add(thing, belongsTo)}>
      Add {SPECS[thing].one}
      {to && <span className={showTo ? undefined : 'unseen'}> to {to}</span>}
    </button>
  )
}

/** A thing to do with one row; which row is said aloud. */
function Do({ words, to, onDo }: { words: string; to: string; onDo: () => void }) {
  return (
    <button type="button" className="link-button" onClick={onDo}>
      {words}
      <span className="unseen"> {to}</span>
    </button>
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
  const { id, name, retiredAt } = item
  if (retiredAt) return <span className="faint">retired</span>
  return (
    <span className="item-buttons">
      {level && <Do words="Record level" to={`of ${name}`} onDo={() => actions.level(id, name)} />}
      <Do words="Edit" to={name} onDo={() => actions.edit(thing, item)} />
      <Do words="Retire" to={name} onDo={() => actions.retire(thing, item, name)} />
    </span>
  )
}

/** The head of a table; what begins with # holds numbers. The last column is for what can be done with a row. */
function Columns({ names }: { names: string[] }) {
  return (
    <thead>
      <tr>
        {names.map((name) => (
          <th key={name} scope="col" className={name.startsWith('#') ? 'number' : undefined}>
            {name.replace('#', '')}
          </th>
        ))}
        <th scope="col">
          <span className="unseen">Change</span>
        </th>
      </tr>
    </thead>
  )
}

export function Bodies({ plant, actions }: Given) {
  const system = useUnits()
  return (
    <section aria-label="Bodies of water">
      <header className="section-head">
        <h2>Bodies of water</h2>
        {plant.facility.retiredAt === null && (
          <Add thing="body" belongsTo={{ facilityId: plant.facility.id }} actions={actions} />
        )}
      </header>
      {plant.bodies.length === 0 ? (
        <p>None yet. Add each pool, spa, wading pool or splash pad that has a recirculation of its own.</p>
      ) : (
        <WideTable label="Bodies of water">
          <table className="ledger">
            <Columns names={['Name', 'Kind', '#Volume', '#Flow', '#Turnover', 'Room']} />
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
      <header className="section-head">
        <h2>Equipment rooms</h2>
        {plant.facility.retiredAt === null && (
          <Add thing="equipmentRoom" belongsTo={{ facilityId: plant.facility.id }} actions={actions} />
        )}
      </header>
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
                <Add
                  thing="channel"
                  belongsTo={{ controllerId: controller.id }}
                  to={controller.name}
                  actions={actions}
                />
              )}
            </div>
          ))}
          {!room.retiredAt && (
            <Add thing="controller" belongsTo={{ equipmentRoomId: room.id }} to={room.name} actions={actions} />
          )}
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
      {!room.retiredAt && (
        <Add thing="drum" belongsTo={{ equipmentRoomId: room.id }} to={room.name} actions={actions} />
      )}
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
            <Columns names={['Feeder', 'Feeds', 'Role', 'Kind', 'Draws from', '#At 100 %']} />
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
          <Add key={body.id} thing="feeder" belongsTo={{ bodyId: body.id }} to={body.name} showTo actions={actions} />
        ))}
        {bodies.length === 0 && <span className="faint">A feeder doses one body of water: add that first.</span>}
      </p>
    </section>
  )
}
