'use client'
import type { Plant } from '@sightglass/contract'
import { useQueryClient } from '@tanstack/react-query'
import Link from 'next/link'
import { useRef, useState } from 'react'
import { call } from '../../lib/api.ts'
import { Confirm, type ConfirmHandle } from '../../shared/Confirm.tsx'
import { Dialog } from '../../shared/Dialog.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { useCall } from '../../shared/useCall.ts'
import type { PlantActions } from './actions.ts'
import { fieldsOf, SPECS, type Thing } from './kinds.ts'
import { LevelForm } from './LevelForm.tsx'
import { Bodies, Feeders, Rooms } from './PlantParts.tsx'
import { ThingForm } from './ThingForm.tsx'

type Stored = { id: string; name?: string } & Record<string, unknown>

type Open =
  | { what: 'form'; thing: Thing; stored: Stored | null; belongsTo: Record<string, string> }
  | { what: 'level'; drumId: string; name: string; capacityL: number }

export function PlantScreen({
  initial,
  profiles,
  at,
}: {
  initial: Plant
  profiles: { value: string; label: string }[]
  at: string
}) {
  const facilityId = initial.facility.id
  const [retiredToo, setRetiredToo] = useState(initial.facility.retiredAt !== null)
  const given = { params: { facilityId }, query: retiredToo ? { retired: 'true' as const } : {} }
  const { data = initial, error } = useCall('getPlant', given, { initial: retiredToo ? undefined : initial })
  const client = useQueryClient()
  const [open, setOpen] = useState<Open | null>(null)
  const [retiring, setRetiring] = useState<{ thing: Thing; id: string; name: string } | null>(null)
  const [failure, setFailure] = useState<unknown>(null)
  const confirm = useRef<ConfirmHandle>(null)
  const { facility } = data
  const inUse = facility.retiredAt === null

  const changed = () => {
    setOpen(null)
    client.invalidateQueries({ queryKey: ['getPlant'] })
    client.invalidateQueries({ queryKey: ['listFacilities'] })
  }
  const actions: PlantActions = {
    add: (thing, belongsTo) => setOpen({ what: 'form', thing, stored: null, belongsTo }),
    edit: (thing, stored) => setOpen({ what: 'form', thing, stored: stored as Stored, belongsTo: {} }),
    retire: (thing, { id }, name) => {
      setRetiring({ thing, id, name })
      confirm.current?.ask()
    },
    level: (drumId, name) => {
      const capacityL = data.drums.find(({ id }) => id === drumId)?.capacityL ?? Number.POSITIVE_INFINITY
      setOpen({ what: 'level', drumId, name, capacityL })
    },
  }

  async function retire() {
    if (!retiring) return
    setFailure(null)
    const { retire: name, param } = SPECS[retiring.thing]
    try {
      await (call as (name: string, given: object) => Promise<unknown>)(name, { params: { [param]: retiring.id } })
      changed()
    } catch (caught) {
      setFailure(caught)
    }
  }

  return (
    <main className="page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/facilities">Facilities</Link>
      </nav>
      <header className="page-head">
        <div>
          <h1>{facility.name}</h1>
          <p className="faint">{[facility.address, facility.area, facility.timeZone].filter(Boolean).join(' · ')}</p>
          <p className="faint">
            Limits:{' '}
            <Link href={`/profiles/${encodeURIComponent(facility.profileKey)}`}>
              {profiles.find(({ value }) => value === facility.profileKey)?.label ?? facility.profileKey}
            </Link>
            {facility.contactName && ` · ${facility.contactName}`}
            {facility.contactEmail && ` · ${facility.contactEmail}`}
            {facility.contactPhone && ` · ${facility.contactPhone}`}
          </p>
          {facility.note && <p>{facility.note}</p>}
        </div>
        <p className="buttons">
          <button type="button" className="button quiet small" onClick={() => actions.edit('facility', facility)}>
            Edit
          </button>
          {inUse && (
            <button
              type="button"
              className="button danger small"
              onClick={() => actions.retire('facility', facility, facility.name)}
            >
              Retire
            </button>
          )}
        </p>
      </header>
      {!inUse && <p className="notice">This facility is retired; its history stays.</p>}
      {error && <ProblemNote error={error} />}
      {failure !== null && <ProblemNote error={failure} />}
      <p className="buttons">
        {inUse && (
          <>
            <Link className="button" href={`/?facility=${facility.id}`}>
              Its bodies in the morning list
            </Link>
            <Link className="button quiet" href={`/readings/sheet?facilityId=${facility.id}`}>
              Enter a log sheet
            </Link>
            <Link className="button quiet" href={`/imports/new?facilityId=${facility.id}`}>
              Load an export
            </Link>
          </>
        )}
        <label className="inline-check">
          <input type="checkbox" checked={retiredToo} onChange={({ target }) => setRetiredToo(target.checked)} />
          <span>Show retired things too</span>
        </label>
      </p>
      <Bodies plant={data} actions={actions} />
      <Rooms plant={data} actions={actions} at={at} />
      <Feeders plant={data} actions={actions} />
      {open?.what === 'form' && (
        <Dialog title={`${open.stored ? 'Edit' : 'Create'} ${SPECS[open.thing].one}`} onClose={() => setOpen(null)}>
          <ThingForm
            thing={open.thing}
            fields={fieldsFor(open, data, profiles)}
            stored={open.stored}
            belongsTo={open.belongsTo}
            onStored={changed}
            onCancel={() => setOpen(null)}
          />
        </Dialog>
      )}
      {open?.what === 'level' && (
        <Dialog title={`Level of ${open.name}`} onClose={() => setOpen(null)}>
          <LevelForm drumId={open.drumId} capacityL={open.capacityL} zone={facility.timeZone} onStored={changed} />
        </Dialog>
      )}
      <Confirm
        ref={confirm}
        title={`Retire ${retiring?.name ?? ''}?`}
        words="It leaves the lists and is no longer judged. Its history stays, and what was stored of it can still be read."
        act="Retire it"
        onConfirm={retire}
      />
    </main>
  )
}

const fieldsFor = ({ thing }: { thing: Thing }, plant: Plant, profiles: { value: string; label: string }[]) =>
  fieldsOf(thing, plant, profiles, plant.facility.timeZone)
