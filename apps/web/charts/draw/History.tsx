'use client'
import { CartesianGrid, Line, LineChart, ReferenceArea, ResponsiveContainer, Tooltip, XAxis, YAxis } from 'recharts'
import type { HistoryModel } from '../prepare/history.ts'

interface Pointed {
  active?: boolean
  payload?: readonly { payload?: { words?: string } }[]
}

const Words = ({ active, payload }: Pointed) =>
  active && payload?.[0]?.payload?.words ? <div className="chart-words">{payload[0].payload.words}</div> : null

export function History({ model }: { model: HistoryModel }) {
  const labelOf = new Map(model.ticks.map(({ ms, label }) => [ms, label]))
  return (
    <figure className="chart">
      <figcaption>
        <strong>{model.title}</strong> <span className="faint">{model.bandWords}</span>
      </figcaption>
      <div className="chart-canvas" role="img" aria-label={`${model.summary}; ${model.bandWords}`}>
        <ResponsiveContainer width="100%" height="100%" initialDimension={{ width: 640, height: 190 }}>
          <LineChart data={model.rows} margin={{ top: 8, right: 12, bottom: 0, left: 0 }} accessibilityLayer={false}>
            {model.band && (
              <ReferenceArea y1={model.band.from} y2={model.band.to} className="chart-band" fillOpacity={1} />
            )}
            <CartesianGrid vertical horizontal={false} stroke="var(--rule)" />
            <XAxis
              dataKey="ms"
              type="number"
              domain={model.xDomain}
              ticks={model.ticks.map(({ ms }) => ms)}
              tickFormatter={(ms: number) => labelOf.get(ms) ?? ''}
              stroke="var(--ink-faint)"
              tick={{ fill: 'var(--ink-soft)', fontSize: 12 }}
              tickLine={false}
            />
            <YAxis
              domain={model.domain}
              ticks={model.yTicks}
              width={44}
              stroke="var(--ink-faint)"
              tick={{ fill: 'var(--ink-soft)', fontSize: 12 }}
              tickLine={false}
            />
            <Tooltip content={<Words />} isAnimationActive={false} cursor={{ stroke: 'var(--ink-faint)' }} />
            <Line
              dataKey="value"
              stroke="var(--water)"
              strokeWidth={1.75}
              dot={false}
              connectNulls={false}
              isAnimationActive={false}
            />
          </LineChart>
        </ResponsiveContainer>
      </div>
    </figure>
  )
}
