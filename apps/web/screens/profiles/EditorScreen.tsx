'use client'
import type { Profile, ProfileDetail } from '@sightglass/contract'
import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { type FormEvent, useRef, useState } from 'react'
import { call } from '../../lib/api.ts'
import { NoteField, SelectField, TextField } from '../../shared/Field.tsx'
import { ProblemNote, problemFrom } from '../../shared/Problem.tsx'
import { usePerson } from '../../shared/stored.ts'
import { useUnits } from '../../shared/Units.tsx'
import { Additions } from './Additions.tsx'
import {
  ABOUT_ALL,
  aboutOptions,
  beginWith,
  type Draft,
  draftOf,
  errorsFrom,
  laxOf,
  type OwnAddition,
  type OwnRule,
  readDraft,
  rulesAbout,
} from './editor.ts'
import { OwnRuleItem } from './OwnRuleItem.tsx'
import { Preview } from './Preview.tsx'

interface Given {
  /** What the profile rests on, and the published profile at the end of that line. */
  parent: Profile
  root: Profile
  /** The profile that is changed; null for a new one. */
  detail: ProfileDetail | null
}

const pageOf = (key: string) => `/profiles/${encodeURIComponent(key)}`

/** A company's own profile: what it asks for in place of its parent, and beside it, each with why and whose. */
export function EditorScreen({ parent, root, detail }: Given) {
  const router = useRouter()
  const system = useUnits()
  // the units of the moment are kept, so that switching them does not turn degrees typed into others
  const [units] = useState(system)
  const [draft, setDraft] = useState<Draft>(() => draftOf(detail, units))
  const [about, setAbout] = useState(ABOUT_ALL)
  const [errors, setErrors] = useState<Record<string, string>>({})
  const [failure, setFailure] = useState<unknown>(null)
  const [storing, setStoring] = useState(false)
  const person = usePerson()
  const form = useRef<HTMLFormElement>(null)
  const lax = laxOf(draft, parent, root, units)

  /** What is being put right is no longer called wrong, until it is looked at again. */
  const forget = (...begins: string[]) =>
    setErrors((now) =>
      Object.fromEntries(Object.entries(now).filter(([field]) => !begins.some((begin) => field.startsWith(begin)))),
    )

  function setRule(ruleKey: string, rule: OwnRule | null) {
    forget(`rule.${ruleKey}.`, 'rules')
    setDraft(({ rules: { [ruleKey]: _, ...others }, ...now }) => ({
      ...now,
      rules: rule ? { ...others, [ruleKey]: rule } : others,
    }))
  }
  function setAdditions(additions: OwnAddition[]) {
    forget('addition.', 'rules')
    setDraft((now) => ({ ...now, additions }))
  }

  function read() {
    const made = readDraft(draft, parent, root, units, detail !== null)
    if (!person.value.trim()) made.errors.person = 'must name the person'
    return made
  }

  /** The first field that is wrong is where the reader goes on. */
  function complain(wrong: Record<string, string>) {
    setErrors(wrong)
    requestAnimationFrame(() => form.current?.querySelector<HTMLElement>('[aria-invalid="true"], .problem')?.focus())
  }

  async function store(event: FormEvent) {
    event.preventDefault()
    const { errors: wrong, ...rules } = read()
    complain(wrong)
    setFailure(null)
    if (Object.keys(wrong).length) return
    setStoring(true)
    const body = { ...rules, name: draft.name.trim(), person: person.value.trim() }
    try {
      const { profile } = detail
        ? await call('editProfile', {
            params: { profileKey: detail.profile.key },
            body: { ...body, reason: draft.reason.trim(), version: detail.versions[0]?.version ?? 1 },
          })
        : await call('createProfile', { body: { ...body, parentKey: parent.key } })
      router.push(pageOf(profile.key))
      router.refresh()
    } catch (error) {
      const { byField, rest } = errorsFrom(problemFrom(error), rules)
      complain(byField)
      setFailure(Object.keys(byField).length > 0 && rest.length === 0 ? null : error)
      setStoring(false)
    }
  }

  return (
    <main className="page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/profiles">Code profiles</Link> <span aria-hidden="true">/</span>{' '}
        <Link href={pageOf(detail?.profile.key ?? parent.key)}>{detail?.profile.name ?? parent.name}</Link>
      </nav>
      <h1>{detail ? `Change ${detail.profile.name}` : 'A profile of your own'}</h1>
      <p className="lead">
        It asks for what {parent.name} asks for, except where you set a rule of your own. Each one says why and whose it
        is. Local law prevails: a limit laxer than the law can hurt people, and does not protect you.
      </p>
      <form ref={form} onSubmit={store} noValidate className="profile-editor">
        <div className="profile-about">
          <TextField
            label="Name of your profile"
            value={draft.name}
            error={errors.name}
            onChange={({ target }) => setDraft((now) => ({ ...now, name: target.value }))}
          />
          <TextField
            label="Person"
            value={person.value}
            error={errors.person}
            onChange={({ target }) => person.set(target.value)}
          />
          {detail && (
            <NoteField
              label="Why it is changed"
              hint="Kept with this version; the old one is kept too"
              value={draft.reason}
              error={errors.reason}
              onChange={({ target }) => setDraft((now) => ({ ...now, reason: target.value }))}
            />
          )}
        </div>
        <section aria-labelledby="rules">
          <h2 id="rules">The rules of {parent.name}</h2>
          <SelectField
            label="Show rules about"
            options={aboutOptions(parent)}
            value={about}
            onChange={({ target }) => setAbout(target.value)}
          />
          <ul className="plain-list rule-list">
            {rulesAbout(parent, about, draft).map((any) => (
              <OwnRuleItem
                key={any.rule.key}
                any={any}
                own={draft.rules[any.rule.key] ?? null}
                laxer={lax.get(any.rule.key) ?? null}
                units={units}
                errors={errors}
                onBegin={() => setRule(any.rule.key, beginWith(any, units))}
                onChange={(rule) => setRule(any.rule.key, rule)}
              />
            ))}
          </ul>
        </section>
        <Additions
          additions={draft.additions}
          units={units}
          errors={errors}
          parentName={parent.name}
          onChange={setAdditions}
        />
        {errors.rules && (
          <p className="problem" role="alert">
            {errors.rules}
          </p>
        )}
        <Preview parentName={parent.name} changed={detail?.profile.key ?? null} parentKey={parent.key} read={read} />
        {failure !== null && <ProblemNote error={failure}> What you typed is still here.</ProblemNote>}
        <p className="buttons sticky-buttons">
          <button type="submit" className="button" disabled={storing}>
            {storing ? 'Storing …' : detail ? 'Store the new version' : 'Create the profile'}
          </button>
          <Link className="button quiet" href={pageOf(detail?.profile.key ?? parent.key)}>
            Leave it as it is
          </Link>
        </p>
      </form>
    </main>
  )
}
