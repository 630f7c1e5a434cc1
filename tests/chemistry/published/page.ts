import type { Check } from './check.ts'

/** One line of the page for each source and quantity. */
export function grouped(checks: readonly Check[]): Map<string, Check[]> {
  const groups = new Map<string, Check[]>()
  for (const check of checks) {
    const name = `${check.source}: ${check.quantity}`
    groups.set(name, [...(groups.get(name) ?? []), check])
  }
  return groups
}

const deviation = (check: Check) => Math.abs(check.ours() - check.expect)
const share = (check: Check) => (check.tolerance === 0 ? 0 : deviation(check) / check.tolerance)

const short = (value: number) => Number(value.toPrecision(2)).toString()

function line(rows: readonly Check[]): string {
  const worst = rows.reduce((a, b) => (share(b) > share(a) ? b : a))
  const cells = [
    worst.source,
    worst.quantity,
    String(rows.length),
    // what binary arithmetic adds is no deviation
    share(worst) < 1e-5 ? '0' : short(deviation(worst)),
    short(worst.tolerance),
    worst.locus,
    worst.because,
  ]
  return `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`
}

const HEAD = `| source | quantity | rows | deviation | tolerance | where | why that tolerance |
| --- | --- | --- | --- | --- | --- | --- |`

/** The page of the checks; \`docs/checks.md\` is held to be just this. */
export function checksPage(checks: readonly Check[]): string {
  const lines = (kind: Check['kind']) => [...grouped(checks.filter((check) => check.kind === kind)).values()].map(line)
  return `# Checks against the outside

Every number that is shown or advised comes from \`packages/chemistry\`. Here is what it is held against, with the largest
deviation seen for each: the row that comes nearest to its tolerance. This page is made by
\`tests/chemistry/published/run.test.ts\`, which fails when a deviation passes its tolerance or this page is not what today's
code gives. Where the tables come from: [tests/chemistry/published](../tests/chemistry/published/README.md); the equations:
[chemistry.md](chemistry.md).

A status in a source says how it was read: *second source* where another page restates it, *from memory* where it was not read.
Chemistry and belief are checked apart: a handbook rule is held to its own text, the equations to measurements and to a program
that shares nothing with ours.

## Printed by their authors, codes and handbooks

${HEAD}
${lines('published').join('\n')}

## Computed with other programs

${HEAD}
${lines('otherProgram').join('\n')}

## Held by properties

Not against numbers, but over the whole space of inputs, drawn anew at each run
([tests/chemistry/properties](../tests/chemistry/properties)):

- more acid never raises pH, more base never lowers it; carbon dioxide lowers it and leaves alkalinity as it is
- alkalinity, inorganic carbon, calcium, cyanuric acid, boron and chlorine are conserved by every addition and by mixing
- an addition and its opposite give the water back; hypochlorite that is added and used up leaves pH where it was
- independent additions give the same water in either order and all at once
- pH from carbon and carbon from pH are each other's inverse; so are each target of the saturation index and the index
- shares of chlorine add up to the free chlorine and are never negative; free chlorine for a wanted active level gives that level
- the saturation index grows with pH, calcium, alkalinity and temperature; tables are continuous at every row
- the equations written down a second time, slowly and by other means ([tests/chemistry/naive](../tests/chemistry/naive)), give the
  same parts of alkalinity, carbon, base and saturation index to eight digits, far beyond pools
- nothing gives NaN: inside the ranges a finite number, or null where the text says so; outside, an error that names the quantity
`
}
