'use client'
import type { ProfilePreviewed } from '@sightglass/contract'
import { useState } from 'react'
import { call } from '../../lib/api.ts'
import { counted } from '../../shared/numbers.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'
import type { Read } from './editor.ts'

interface Given {
  /** The profile that is changed; null for a new one, which is looked at in place of its parent. */
  changed: string | null
  parentKey: string
  parentName: string
  read: () => Read
}

/** Which bodies would change standing, before anything is stored. */
export function Preview({ changed, parentKey, parentName, read }: Given) {
  const [found, setFound] = useState<ProfilePreviewed | null>(null)
  const [failure, setFailure] = useState<unknown>(null)
  const [incomplete, setIncomplete] = useState(false)
  const [looking, setLooking] = useState(false)

  async function look() {
    const { overrides, additions, errors } = read()
    setFailure(null)
    setFound(null)
    const wrong = Object.keys(errors).some((field) => /^(rule|addition)\..*\.value$|^rules$/.test(field))
    setIncomplete(wrong)
    if (wrong) return
    setLooking(true)
    try {
      const of = changed ? { profileKey: changed } : { parentKey }
      setFound(await call('previewProfile', { body: { ...of, ...withWords(overrides, additions) } }))
    } catch (error) {
      setFailure(error)
    }
    setLooking(false)
  }

  return (
    <section aria-labelledby="preview">
      <h2 id="preview">What it would change</h2>
      <p className="buttons">
        <button type="button" className="button quiet" onClick={look} disabled={looking}>
          {looking ? 'Judging the bodies both ways …' : 'See which bodies would change standing'}
        </button>
      </p>
      <div aria-live="polite">
        {found && <Found found={found} of={changed ? 'this profile' : parentName} />}
        {incomplete && <p className="problem">Set a rule of your own first, and give each of them a number.</p>}
        {failure !== null && <ProblemNote error={failure} />}
      </div>
    </section>
  )
}

/** A look needs no reasons yet. */
const withWords = (overrides: Read['overrides'], additions: Read['additions']) => {
  const said = <Given extends { reason: string; citation: string }>(given: Given): Given => ({
    ...given,
    reason: given.reason || 'not said yet',
    citation: given.citation || 'not said yet',
  })
  return { overrides: overrides.map(said), additions: additions.map(said) }
}

function Found({ found: { bodies, judged, changed, changedTotal }, of }: { found: ProfilePreviewed; of: string }) {
  const many = judged < bodies ? ` The first ${counted(judged, 'body', 'bodies')} were looked at.` : ''
  if (bodies === 0) return <p>No body of water is judged by {of} now, so nothing would change.</p>
  return (
    <>
      <p>
        {changedTotal === 0 ? 'None' : changedTotal} of {counted(judged, 'body', 'bodies')} judged by {of} would change
        standing.{many}
      </p>
      <ul className="plain-list">
        {changed.map(({ bodyId, body, facility, before, after }) => (
          <li key={bodyId}>
            <a href={`/bodies/${bodyId}`}>
              {facility}, {body}
            </a>
            : <SeverityLabel severity={before} /> <span>would be</span> <SeverityLabel severity={after} />
          </li>
        ))}
      </ul>
      {changedTotal > changed.length && <p className="faint">The first {changed.length} are shown.</p>}
    </>
  )
}
