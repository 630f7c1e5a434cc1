import type { ValueModel } from './measure.ts'

const PLACE_WORDS = { in: '', open: '', under: 'under range', over: 'over range' }

/** A value beside its range. Outside of it, an arrow, weight and a word for screen readers say so, besides the colour. */
export function Value({ model, children }: { model: ValueModel; children?: React.ReactNode }) {
  const { label, value, unit, range, place } = model
  const out = place === 'under' || place === 'over'
  return (
    <span className={`value value-${place}`}>
      <span className="value-label">{label} </span>
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
      {range && <span className="value-range"> {range}</span>}
      {children}
    </span>
  )
}
