import Link from 'next/link'
import { memo } from 'react'
import { Trace } from '../../charts/draw/Trace.tsx'
import { SeverityMark } from '../../shared/Severity.tsx'
import { Value } from '../../shared/Value.tsx'
import type { AgedValue, RowModel } from './prepare.ts'

export const Row = memo(RowOf, (before, after) => JSON.stringify(before) === JSON.stringify(after))

function RowOf({ model, heading, tabbable }: { model: RowModel; heading: string | null; tabbable: boolean }) {
  return (
    <>
      {heading !== null && (
        <h2 className="row-group">
          <Link href={`/facilities/${model.facilityId}`} tabIndex={-1}>
            {model.facilityName}
          </Link>
          <span className="faint"> {heading}</span>
        </h2>
      )}
      <article className={`row row-${model.severity}`}>
        <div className="row-standing">
          <SeverityMark severity={model.severity} size={20} />
          <span className="row-word">{model.severityWord}</span>
          <span className="row-score">
            {model.score}
            <span className="unseen"> of 100</span>
          </span>
        </div>
        <div className="row-name">
          <Link href={model.href} className="row-link" tabIndex={tabbable ? 0 : -1} prefetch={false}>
            {model.bodyName}
            <span className="row-facility">{model.facilityName}</span>
          </Link>
          <span className="row-facts">{model.facts}</span>
        </div>
        <div className="row-wrong">
          {model.sentences.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          {model.more && <p className="faint">{model.more}</p>}
        </div>
        <Values name="Test kit" values={model.test} nothing="no test" />
        <Values name="Controller" values={model.controller} nothing="no controller value" age={model.controllerAge} />
        <div className="row-trace">
          {model.trace ? <Trace model={model.trace} /> : <span className="faint">no trace</span>}
        </div>
        <div className="row-days">
          <span className="row-label">Chemical left </span>
          {model.daysLeft ? (
            <span className={model.daysLeft.low ? 'days-low' : undefined}>
              {model.daysLeft.low && <span aria-hidden="true">▼ </span>}
              {model.daysLeft.text}
            </span>
          ) : (
            <span className="faint">unknown</span>
          )}
        </div>
        <div className="row-heard">
          <span className="row-label">Heard </span>
          {model.heard ? (
            <span title={model.heard.exact} suppressHydrationWarning>
              {model.heard.ago}
              <span className="unseen">, {model.heard.exact}</span>
            </span>
          ) : (
            <span className="faint">never</span>
          )}
        </div>
      </article>
    </>
  )
}

function Values({
  name,
  values,
  nothing,
  age,
}: {
  name: string
  values: AgedValue[]
  nothing: string
  age?: string | null
}) {
  return (
    <div className="row-values">
      <span className="row-label">{name} </span>
      {values.length === 0 && <span className="faint">{nothing}</span>}
      {values.map(({ value, age: own }, index) => (
        <Value key={value.label} model={value}>
          {(own ?? (index === 0 ? age : null)) && <span className="value-age"> {own ?? age} old</span>}
        </Value>
      ))}
    </div>
  )
}
