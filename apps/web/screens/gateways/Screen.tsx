'use client'
import type { Gateway } from '@sightglass/contract'
import { useQuery, useQueryClient } from '@tanstack/react-query'
import { type FormEvent, useRef, useState } from 'react'
import { call } from '../../lib/api.ts'
import { Confirm, type ConfirmHandle } from '../../shared/Confirm.tsx'
import { FacilityPicker, type PickedFacility } from '../../shared/FacilityPicker.tsx'
import { TextField } from '../../shared/Field.tsx'
import { counted } from '../../shared/numbers.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { ago, exactTime } from '../../shared/time.ts'
import { keyOf, useCall } from '../../shared/useCall.ts'
import { useNow } from '../../shared/useNow.ts'
import { useZone } from '../../shared/useZone.ts'
import { WideTable } from '../../shared/WideTable.tsx'

export function GatewaysScreen({ initial, at }: { initial: { items: Gateway[]; total: number }; at: string }) {
  const { data = initial, error } = useCall('listGateways', {}, { initial })
  const client = useQueryClient()
  const now = useNow(at)
  const zone = useZone() ?? 'UTC'
  const [revoking, setRevoking] = useState<Gateway | null>(null)
  const [failure, setFailure] = useState<unknown>(null)
  const confirm = useRef<ConfirmHandle>(null)
  const changed = () => client.invalidateQueries({ queryKey: keyOf('listGateways').slice(0, 1) })

  async function revoke() {
    if (!revoking) return
    try {
      await call('revokeGateway', { params: { gatewayId: revoking.id } })
      changed()
    } catch (caught) {
      setFailure(caught)
    }
  }

  return (
    <main className="page" id="main">
      <h1>Gateways</h1>
      <p className="lead">
        A gateway is a machine at a facility that sends what its controllers measure, by itself. It shows a token with
        each batch; <a href="/api/docs">the API</a> says how.
      </p>
      {(error || failure !== null) && <ProblemNote error={error ?? failure} />}
      {data.items.length === 0 ? (
        <p>None yet.</p>
      ) : (
        <WideTable label="Gateways">
          <table className="ledger">
            <thead>
              <tr>
                <th scope="col">Gateway</th>
                <th scope="col">Sends for</th>
                <th scope="col">Created</th>
                <th scope="col">Last sent</th>
                <th scope="col">State</th>
              </tr>
            </thead>
            <tbody>
              {data.items.map((gateway) => (
                <tr key={gateway.id}>
                  <th scope="row">{gateway.name}</th>
                  <td>{counted(gateway.controllerIds.length, 'controller')}</td>
                  <td suppressHydrationWarning>{exactTime(gateway.createdAt, zone, now)}</td>
                  <td suppressHydrationWarning>{gateway.lastUsedAt ? ago(gateway.lastUsedAt, now) : 'never'}</td>
                  <td>
                    {gateway.revokedAt ? (
                      'revoked'
                    ) : (
                      <button
                        type="button"
                        className="link-button"
                        onClick={() => {
                          setRevoking(gateway)
                          confirm.current?.ask()
                        }}
                      >
                        Revoke<span className="unseen"> {gateway.name}</span>
                      </button>
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </WideTable>
      )}
      <NewGateway onCreated={changed} />
      <Confirm
        ref={confirm}
        title={`Revoke ${revoking?.name ?? ''}?`}
        words="Its token stops working at once, and the bodies it speaks of will fall silent until another gateway sends. What it has sent stays."
        act="Revoke it"
        onConfirm={revoke}
      />
    </main>
  )
}

function NewGateway({ onCreated }: { onCreated: () => void }) {
  const [name, setName] = useState('')
  const [facility, setFacility] = useState<PickedFacility | null>(null)
  const [chosen, setChosen] = useState<string[]>([])
  const [errors, setErrors] = useState<{ name?: string; controllers?: string }>({})
  const [failure, setFailure] = useState<unknown>(null)
  const [token, setToken] = useState<string | null>(null)
  const { data: plant } = useQuery({
    queryKey: keyOf('getPlant', { params: { facilityId: facility?.id ?? '' } }),
    queryFn: ({ signal }) => call('getPlant', { params: { facilityId: facility?.id ?? '' }, signal }),
    enabled: facility !== null,
  })

  async function create(event: FormEvent) {
    event.preventDefault()
    const wrong = {
      ...(!name.trim() && { name: 'must not be empty' }),
      ...(chosen.length === 0 && { controllers: 'Choose at least one controller that it sends for.' }),
    }
    setErrors(wrong)
    setFailure(null)
    if (Object.keys(wrong).length) return
    try {
      const created = await call('createGateway', { body: { name: name.trim(), controllerIds: chosen } })
      setToken(created.token)
      setName('')
      setChosen([])
      onCreated()
    } catch (error) {
      setFailure(error)
    }
  }

  return (
    <section aria-labelledby="new-gateway" className="narrow">
      <h2 id="new-gateway">Create a gateway</h2>
      {token && <Token token={token} />}
      <form onSubmit={create} noValidate>
        <TextField
          label="Name"
          hint="Where it stands, for instance"
          value={name}
          error={errors.name}
          onChange={({ target }) => setName(target.value)}
        />
        <FacilityPicker
          label="Facility"
          picked={facility}
          onPick={(next) => {
            setFacility(next)
            setChosen([])
          }}
        />
        {plant && (
          <fieldset className="choices">
            <legend>Controllers that it sends for</legend>
            {plant.controllers.map((controller) => (
              <label key={controller.id}>
                <input
                  type="checkbox"
                  checked={chosen.includes(controller.id)}
                  onChange={({ target }) =>
                    setChosen((now) =>
                      target.checked ? [...now, controller.id] : now.filter((other) => other !== controller.id),
                    )
                  }
                />
                <span>{controller.name}</span>
              </label>
            ))}
            {plant.controllers.length === 0 && (
              <p>
                This facility has no controller yet.{' '}
                <a href={`/facilities/${plant.facility.id}`}>Add it to the plant</a>.
              </p>
            )}
          </fieldset>
        )}
        {errors.controllers && (
          <p className="field-error" role="alert">
            {errors.controllers}
          </p>
        )}
        {failure !== null && <ProblemNote error={failure} />}
        <p className="buttons">
          <button type="submit" className="button">
            Create it and show its token
          </button>
        </p>
      </form>
    </section>
  )
}

function Token({ token }: { token: string }) {
  const [copied, setCopied] = useState<'no' | 'yes' | 'failed'>('no')
  const copy = () =>
    navigator.clipboard?.writeText(token).then(
      () => setCopied('yes'),
      () => setCopied('failed'),
    ) ?? setCopied('failed')
  return (
    <div className="notice notice-good" role="status">
      <p>
        <strong>This token is shown once.</strong> Put it into the gateway now; only its fingerprint is kept here.
      </p>
      <p>
        <code className="token">{token}</code>
      </p>
      <p className="buttons">
        <button type="button" className="button small" onClick={copy}>
          Copy
        </button>
        <span>
          {copied === 'yes' && 'Copied.'}
          {copied === 'failed' && 'The browser does not allow copying: mark the token and copy it by hand.'}
        </span>
      </p>
    </div>
  )
}
