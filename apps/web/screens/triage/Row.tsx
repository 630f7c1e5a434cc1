import Link from 'next/link'
import { memo } from 'react'
import { Trace } from '../../charts/draw/Trace.tsx'
import { SeverityMark } from '../../shared/Severity.tsx'
import { Value } from '../../shared/Value.tsx'
import type { RowModel, Said } from './prepare.ts'

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
          <span className="row-score">{model.score}</span>
        </div>
        <div className="row-name">
          <Link href={model.href} className="row-link" tabIndex={tabbable ? 0 : -1} prefetch={false}>
            {model.bodyName}
            <span className="row-facility">{model.facilityName}</span>
          </Link>
          <span className="row-facts">{model.facts}</span>
        </div>
        <div className="row-wrong">
          {model.sentences.map((sentence, index) => (
            <p key={sentence}>
              {sentence}
              {model.more && index === model.sentences.length - 1 && <span className="faint"> {model.more}</span>}
            </p>
          ))}
        </div>
        <Values name="Test kit" said={model.test} nothing="no test" />
        <Values name="Controller" said={model.controller} nothing="no controller value" />
        <div className="row-trace">
          {model.trace ? <Trace model={model.trace} /> : <span className="faint">no trace</span>}
        </div>
        <div className="row-last">
          <p className={model.daysLeft?.low ? 'days-low' : undefined}>
            {model.daysLeft?.low && <span aria-hidden="true">▼ </span>}
            {model.daysLeft ? `${model.daysLeft.text} of chemical` : <span className="faint">chemical unknown</span>}
          </p>
          <p title={model.heard?.exact} suppressHydrationWarning>
            {model.heard ? `heard ${model.heard.ago}` : 'never heard'}
            {model.heard && <span className="unseen">, {model.heard.exact}</span>}
          </p>
        </div>
      </article>
    </>
  )
}

function Values({ name, said, nothing }: { name: string; said: Said; nothing: string }) {
  return (
    <div className="row-values">
      <span className="row-label">{name} </span>
      {said.values.length === 0 && <span className="faint">{nothing}</span>}
      {said.values.map((value) => (
        <Value key={value.label} model={value} />
      ))}
      {said.age && <span className="value-age">{said.age}</span>}
    </div>
  )
}
