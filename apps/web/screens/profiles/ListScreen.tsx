import Link from 'next/link'
import type { Answer } from '../../lib/api.ts'
import { counted } from '../../shared/numbers.ts'

type Listed = Answer<'listProfiles'>['items']

export function ProfilesScreen({ profiles }: { profiles: Listed }) {
  const nameOf = new Map(profiles.map(({ key, name }) => [key, name]))
  const own = profiles.filter(({ parentKey }) => parentKey !== null)
  return (
    <main className="page" id="main">
      <h1>Code profiles</h1>
      <p className="lead">
        Limits, test frequencies and closure triggers, each with whose they are. The local code comes first: look
        whether the profile of each facility says what it says.
      </p>
      <section aria-labelledby="own">
        <h2 id="own">Your company’s own</h2>
        {own.length === 0 && (
          <p>None yet. Open a published profile and derive your own from it, with what you hold your customers to.</p>
        )}
        <ul className="plain-list profile-list">
          {own.map(({ key, name, parentKey, facilities }) => (
            <li key={key}>
              <Link href={`/profiles/${encodeURIComponent(key)}`}>{name}</Link>{' '}
              <span className="faint">
                from {nameOf.get(parentKey ?? '') ?? parentKey}, {counted(facilities, 'facility', 'facilities')}
              </span>
            </li>
          ))}
        </ul>
      </section>
      <section aria-labelledby="published">
        <h2 id="published">Published</h2>
        <ul className="plain-list profile-list">
          {profiles
            .filter(({ parentKey }) => parentKey === null)
            .map(({ key, name, edition, notRead, facilities }) => (
              <li key={key}>
                <Link href={`/profiles/${encodeURIComponent(key)}`}>{name}</Link> <span>{edition},</span>{' '}
                <span className="faint">{counted(facilities, 'facility', 'facilities')}</span>
                <p className="hint">{notRead}</p>
              </li>
            ))}
        </ul>
      </section>
    </main>
  )
}
