'use client'
import Link from 'next/link'
import type { Answer } from '../../lib/api.ts'
import { useUnits } from '../../shared/Units.tsx'
import { WideTable } from '../../shared/WideTable.tsx'
import { DeriveForm } from './DeriveForm.tsx'
import { derivable, prepareProfile, type RuleModel } from './prepare.ts'

export function ProfileScreen({ detail }: { detail: Answer<'getProfile'> }) {
  const { profile, overrides } = detail
  const system = useUnits()
  const model = prepareProfile(profile, system)
  return (
    <main className="page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/profiles">Code profiles</Link>
      </nav>
      <header>
        <h1>{profile.name}</h1>
        <p className="faint">
          {profile.edition}
          {profile.parentKey && (
            <>
              {' '}
              Your company’s own, derived from <Link href={`/profiles/${profile.parentKey}`}>{profile.parentKey}</Link>.
            </>
          )}
        </p>
      </header>
      {overrides.length > 0 && (
        <section aria-labelledby="own">
          <h2 id="own">What your company set for itself</h2>
          <ul className="plain-list">
            {overrides.map(({ ruleKey, value, reason, citation }) => (
              <li key={ruleKey}>
                <code>{ruleKey}</code>: {value === null ? 'taken away' : value}. {reason}{' '}
                <span className="faint">{citation}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
      <Rules title="Limits" rules={model.limits} effect="Passing it means" />
      <Rules title="Tests by hand" rules={model.tests} />
      {model.forbidden.length > 0 && <Rules title="Where cyanuric acid may not be used" rules={model.forbidden} />}
      <DeriveForm parent={profile} rules={derivable(profile, system)} system={system} />
    </main>
  )
}

function Rules({ title, rules, effect }: { title: string; rules: RuleModel[]; effect?: string }) {
  return (
    <section aria-label={title}>
      <h2>{title}</h2>
      <WideTable label={title}>
        <table className="ledger">
          <thead>
            <tr>
              <th scope="col">What</th>
              <th scope="col">Rule</th>
              {effect && <th scope="col">{effect}</th>}
              <th scope="col">For</th>
              <th scope="col">Whose it is</th>
            </tr>
          </thead>
          <tbody>
            {rules.map((rule) => (
              <tr key={rule.key}>
                <th scope="row">{rule.what}</th>
                <td>{rule.value}</td>
                {effect && <td>{rule.effect}</td>}
                <td>{rule.when || 'all'}</td>
                <td className="citation">{rule.citation}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
    </section>
  )
}
