'use client'
import type { ProfileDetail } from '@sightglass/contract'
import { useUnits } from '../../shared/Units.tsx'
import { useNow } from '../../shared/useNow.ts'
import { useZone } from '../../shared/useZone.ts'
import { When } from '../../shared/When.tsx'
import { prepareVersions } from './prepare.ts'

/** Who changed the profile, when and why; no version is ever overwritten. */
export function Versions({ detail, at }: { detail: ProfileDetail; at: string }) {
  const system = useUnits()
  const zone = useZone() ?? 'UTC'
  const now = useNow(at)
  return (
    <section aria-labelledby="versions">
      <h2 id="versions">Versions</h2>
      <ol className="versions plain-list">
        {prepareVersions(detail, system).map((version) => (
          <li key={version.version}>
            <strong>Version {version.version}</strong>, <When at={version.at} zone={zone} now={now} /> by {version.who}:{' '}
            {version.why}
            <details>
              <summary>
                {version.name}, with {version.sets}
              </summary>
              <ul>
                {version.rules.map((words) => (
                  <li key={words}>{words}</li>
                ))}
              </ul>
            </details>
          </li>
        ))}
      </ol>
    </section>
  )
}
