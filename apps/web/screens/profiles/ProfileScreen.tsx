'use client'
import Link from 'next/link'
import { useState } from 'react'
import type { Answer } from '../../lib/api.ts'
import { counted } from '../../shared/numbers.ts'
import { useUnits } from '../../shared/Units.tsx'
import { WideTable } from '../../shared/WideTable.tsx'
import { type DifferenceModel, inheritedLaxer, prepareDifference, prepareProfile, type RuleModel } from './prepare.ts'
import { RetireDialog } from './RetireDialog.tsx'
import { Versions } from './Versions.tsx'

const pageOf = (key: string) => `/profiles/${encodeURIComponent(key)}`

export function ProfileScreen({ detail: first, at }: { detail: Answer<'getProfile'>; at: string }) {
  const [detail, setDetail] = useState(first)
  const [retiring, setRetiring] = useState(false)
  const system = useUnits()
  const { profile, parent, retiredAt, lost, usedBy } = detail
  const model = prepareProfile(profile, system)
  const inherited = inheritedLaxer(detail, system)
  const own = parent !== null
  return (
    <main className="page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/profiles">Code profiles</Link>
      </nav>
      <header>
        <h1>{profile.name}</h1>
        <p className="faint">
          {profile.edition && `${profile.edition}.`}
          {parent && (
            <>
              Your company’s own, derived from <Link href={pageOf(parent.key)}>{parent.name}</Link>.
            </>
          )}{' '}
          {usedBy.facilities.length > 0
            ? `${counted(usedBy.facilities.length, 'facility is', 'facilities are')} judged by it.`
            : 'No facility is judged by it.'}
        </p>
      </header>
      {retiredAt && <p className="notice">This profile is retired: it cannot be chosen any more. Its history stays.</p>}
      {profile.notRead && (
        <p className="notice">
          <strong>Not read:</strong> {profile.notRead} Where the local law is stricter, it holds.
        </p>
      )}
      {lost.length > 0 && (
        <p className="problem">
          <strong>{counted(lost.length, 'rule', 'rules')} of your own no longer count</strong>, because what this
          profile was derived from has changed since: {lost.join(', ')}. Change this profile to put it right.
        </p>
      )}
      {inherited.length > 0 && (
        <div className="problem">
          <strong>Laxer than the law, through the profile that this one was derived from. Local law prevails.</strong>
          <ul>
            {inherited.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </div>
      )}
      {!retiredAt && (
        <p className="buttons">
          {own && (
            <Link className="button" href={`${pageOf(profile.key)}/edit`}>
              Change this profile
            </Link>
          )}
          <Link className="button quiet" href={`/profiles/new?from=${encodeURIComponent(profile.key)}`}>
            Derive your own profile from this one
          </Link>
          {own && (
            <button type="button" className="button danger" onClick={() => setRetiring(true)}>
              Retire
            </button>
          )}
        </p>
      )}
      {retiring && (
        <RetireDialog
          detail={detail}
          onRetired={(retired) => {
            setDetail(retired)
            setRetiring(false)
          }}
          onClose={() => setRetiring(false)}
        />
      )}
      {parent && <Difference rows={prepareDifference(detail, system)} parentName={parent.name} />}
      <Rules title="Limits" rules={model.limits} effect="Passing it means" />
      <Rules title="Tests by hand" rules={model.tests} />
      {model.forbidden.length > 0 && <Rules title="Where cyanuric acid may not be used" rules={model.forbidden} />}
      <section aria-labelledby="closures">
        <h2 id="closures">Closed to bathers, whatever the test kit says</h2>
        <ul className="plain-list">
          {model.closures.map(({ key, what, when, citation }) => (
            <li key={key}>
              {what}
              {when !== 'all water' && ` (${when})`}. <span className="faint">{citation}</span>
            </li>
          ))}
        </ul>
      </section>
      {own && <Versions detail={detail} at={at} />}
    </main>
  )
}

function Difference({ rows, parentName }: { rows: DifferenceModel[]; parentName: string }) {
  return (
    <section aria-labelledby="difference">
      <h2 id="difference">What your company set for itself</h2>
      {rows.length === 0 && <p>Nothing that differs from {parentName}.</p>}
      <ul className="plain-list difference">
        {rows.map(({ key, name, before, after, why, whose, laxer }) => (
          <li key={key}>
            <h3>{name}</h3>
            <p>
              <span className="difference-after">{after}</span>{' '}
              <span className="faint">
                {before ? `in place of: ${before}` : `added; ${parentName} has no limit there`}
              </span>
            </p>
            <p>
              {why} <span className="faint">{whose}</span>
            </p>
            {laxer && (
              <p className="problem">
                <strong>{laxer}</strong> Local law prevails.
              </p>
            )}
          </li>
        ))}
      </ul>
    </section>
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
                <td className="asked">{rule.asked}</td>
                {effect && <td>{rule.effect}</td>}
                <td>{rule.when}</td>
                <td className="citation">{rule.citation}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
    </section>
  )
}
