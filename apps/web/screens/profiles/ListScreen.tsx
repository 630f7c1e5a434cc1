import type { Answer } from '../../lib/api.ts'
import { counted } from '../../shared/numbers.ts'

export function ProfilesScreen({ profiles }: { profiles: Answer<'listProfiles'>['items'] }) {
  const nameOf = new Map(profiles.map(({ key, name }) => [key, name]))
  return (
    <main className="page" id="main">
      <h1>Code profiles</h1>
      <p className="lead">
        Limits, test frequencies and closure triggers, each with whose they are. The local code comes first: look
        whether the profile of each facility says what it says.
      </p>
      <ul className="plain-list profile-list">
        {profiles.map(({ key, name, edition, parentKey, facilities }) => (
          <li key={key}>
            <a href={`/profiles/${encodeURIComponent(key)}`}>{name}</a> {edition && <span>{edition}</span>}{' '}
            <span className="faint">
              {parentKey ? `your company’s own, from ${nameOf.get(parentKey) ?? parentKey}` : 'published'},{' '}
              {counted(facilities, 'facility', 'facilities')}
            </span>
          </li>
        ))}
      </ul>
    </main>
  )
}
