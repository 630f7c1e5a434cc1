import type { ValueModel } from './measure.ts'

const PLACE_WORDS = { in: '', open: '', under: 'under range', over: 'over range' }

/** A value beside its range. */
export function Value({ model, children }: { model: ValueModel; children?: React.ReactNode }) {
  const { label, range, place } = model
  return (
    <span className={`value value-${place}`}>
      <span className="value-label">{label} </span>
      <Figure model={model} />
      {range && <span className="value-range"> {range}</span>}
      {children}
    </span>
  )
}

/** A value in a table whose head has its label, unit and range. */
export const BareValue = ({ model }: { model: ValueModel }) => (
  <span className={`value value-${model.place}`}>
    <Figure model={{ ...model, unit: '' }} />
  </span>
)

/** Outside of its range, an arrow, weight and a word for screen readers say so, besides the colour. */
function Figure({ model: { value, unit, place } }: { model: ValueModel }) {
  const out = place === 'under' || place === 'over'
  return (
    <>
      <span className="value-number">
        {out && (
          <span className="value-arrow" aria-hidden="true">
            {place === 'under' ? '▼' : '▲'}
          </span>
        )}
        {value}
        {unit && <span className="value-unit"> {unit}</span>}
      </span>
      {out && <span className="unseen"> {PLACE_WORDS[place]}</span>}
    </>
  )
}
