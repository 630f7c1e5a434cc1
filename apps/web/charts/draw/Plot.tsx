'use client'
import {
  Area,
  Bar,
  CartesianGrid,
  ComposedChart,
  Line,
  ReferenceLine,
  ResponsiveContainer,
  Tooltip,
  XAxis,
  YAxis,
} from 'recharts'
import type { Form, PlotModel, PlotRow, Series, Tone } from '../prepare/plot.ts'

const INK: Record<Tone, string> = { main: 'var(--water)', other: 'var(--act)', faint: 'var(--ink-faint)' }
const TICK = { fill: 'var(--ink-soft)', fontSize: 12 }

interface Pointed {
  active?: boolean
  payload?: readonly { payload?: PlotRow }[]
}

const Words = ({ active, payload }: Pointed) => {
  const words = payload?.[0]?.payload?.words
  return active && words ? <div className="chart-words">{words}</div> : null
}

interface Place {
  cx?: number
  cy?: number
  value?: unknown
  index?: number
}

/** Many points are drawn smaller, so that each is still seen. */
const MANY = 60

function Point({ cx, cy, value, form, tone, small = false }: Place & { form: Form; tone: Tone; small?: boolean }) {
  if (cx == null || cy == null || value == null || Number.isNaN(cy)) return <g />
  if (form === 'crosses') {
    const path = `M${cx - 4} ${cy - 4}L${cx + 4} ${cy + 4}M${cx - 4} ${cy + 4}L${cx + 4} ${cy - 4}`
    return <path d={path} stroke={INK[tone]} strokeWidth={1.75} fill="none" />
  }
  const filled = form === 'dots'
  return (
    <circle
      cx={cx}
      cy={cy}
      r={small ? 2.25 : 3.5}
      stroke={INK[tone]}
      strokeWidth={1.5}
      fill={filled ? INK[tone] : 'var(--paper)'}
    />
  )
}

function drawn({ key, form, tone }: Series, small: boolean) {
  const ink = INK[tone]
  const always = { dataKey: key, isAnimationActive: false } as const
  if (form === 'bar') return <Bar key={key} {...always} fill={ink} maxBarSize={14} />
  if (form === 'band') {
    return (
      <Area
        key={key}
        {...always}
        stroke="none"
        fill="var(--water-soft)"
        fillOpacity={1}
        connectNulls
        activeDot={false}
      />
    )
  }
  if (form === 'dots' || form === 'rings' || form === 'crosses') {
    return (
      <Line
        key={key}
        {...always}
        stroke="none"
        legendType="none"
        activeDot={false}
        dot={({ cx, cy, value, index }: Place) => (
          <Point key={index} cx={cx} cy={cy} value={value} form={form} tone={tone} small={small} />
        )}
      />
    )
  }
  return (
    <Line
      key={key}
      {...always}
      type={form === 'step' ? 'stepAfter' : 'linear'}
      stroke={ink}
      strokeWidth={1.75}
      strokeDasharray={form === 'dashes' ? '6 4' : undefined}
      dot={false}
      activeDot={false}
      connectNulls
    />
  )
}

/** Bands lie under lines, and lines under points. */
const UNDER: Record<Form, number> = { band: 0, bar: 1, step: 2, dashes: 3, line: 4, rings: 5, crosses: 6, dots: 7 }

export function Plot({ model }: { model: PlotModel }) {
  const { title, summary, x, y, series, rows, marks, marksName, levels } = model
  const middle = (x.domain[0] + x.domain[1]) / 2
  const labels = new Map(x.ticks.map(({ at, label }) => [at, label]))
  const heights = new Map(y.ticks.map(({ at, label }) => [at, label]))
  return (
    <figure className="chart plot">
      <figcaption>
        <strong>{title}</strong> <span className="faint">{y.title}</span>
      </figcaption>
      <div className="chart-canvas plot-canvas" role="img" aria-label={`${title}: ${summary}`}>
        <ResponsiveContainer width="100%" height="100%" initialDimension={{ width: 640, height: 240 }}>
          <ComposedChart data={rows} margin={{ top: 14, right: 26, bottom: 0, left: 0 }} accessibilityLayer={false}>
            <CartesianGrid vertical={false} horizontal stroke="var(--rule)" />
            <XAxis
              dataKey="x"
              type="number"
              domain={x.domain}
              allowDataOverflow
              ticks={x.ticks.map(({ at }) => at)}
              tickFormatter={(at: number) => labels.get(at) ?? ''}
              stroke="var(--ink-faint)"
              tick={TICK}
              tickLine={false}
              interval={0}
            />
            <YAxis
              domain={y.domain}
              allowDataOverflow
              ticks={y.ticks.map(({ at }) => at)}
              tickFormatter={(at: number) => heights.get(at) ?? ''}
              width={44}
              stroke="var(--ink-faint)"
              tick={TICK}
              tickLine={false}
            />
            <Tooltip content={<Words />} isAnimationActive={false} cursor={{ stroke: 'var(--ink-faint)' }} />
            {[...series].sort((a, b) => UNDER[a.form] - UNDER[b.form]).map((one) => drawn(one, rows.length > MANY))}
            {levels.map(({ at, label, tone }) => (
              <ReferenceLine
                key={label}
                y={at}
                stroke={INK[tone]}
                strokeDasharray={tone === 'faint' ? '2 4' : '8 3'}
                label={{
                  value: label,
                  // two lines that lie close are told at either end
                  position: tone === 'faint' ? 'insideBottomLeft' : 'insideTopRight',
                  fill: INK[tone],
                  fontSize: 12,
                }}
              />
            ))}
            {marks.map(({ at, label }, index) => (
              <ReferenceLine
                // biome-ignore lint/suspicious/noArrayIndexKey: two things may be done at one time
                key={`${at} ${index}`}
                x={at}
                stroke="var(--ink-soft)"
                strokeDasharray="3 3"
                label={{
                  value: label,
                  position: at < middle ? 'insideTopLeft' : 'insideTopRight',
                  fill: 'var(--ink-soft)',
                  fontSize: 12,
                  offset: 4,
                }}
              />
            ))}
          </ComposedChart>
        </ResponsiveContainer>
      </div>
      <p className="plot-under">
        {x.title && <span className="plot-x">{x.title}</span>}
        {series.map(({ key, name, form, tone }) => (
          <span key={key} className="plot-key">
            <Swatch form={form} tone={tone} /> {name}
          </span>
        ))}
        {marksName && marks.length > 0 && (
          <span className="plot-key">
            <svg width="22" height="12" viewBox="0 0 22 12" aria-hidden="true">
              <path d="M11 0V12" stroke="var(--ink-soft)" strokeDasharray="3 3" />
            </svg>{' '}
            {marksName}
          </span>
        )}
      </p>
    </figure>
  )
}

function Swatch({ form, tone }: { form: Form; tone: Tone }) {
  const ink = INK[tone]
  return (
    <svg width="22" height="12" viewBox="0 0 22 12" aria-hidden="true">
      {form === 'band' && (
        <rect x="1" y="1" width="20" height="10" fill="var(--water-soft)" stroke="var(--rule-strong)" />
      )}
      {form === 'bar' && <rect x="7" y="1" width="8" height="10" fill={ink} />}
      {(form === 'line' || form === 'dashes' || form === 'step') && (
        <path
          d={form === 'step' ? 'M1 9H11V3H21' : 'M1 6H21'}
          stroke={ink}
          strokeWidth="1.75"
          fill="none"
          strokeDasharray={form === 'dashes' ? '6 4' : undefined}
        />
      )}
      {(form === 'dots' || form === 'rings' || form === 'crosses') && (
        <Point cx={11} cy={6} value={1} form={form} tone={tone} />
      )}
    </svg>
  )
}
