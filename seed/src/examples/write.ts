import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { EXAMPLES_END_MS, exampleFiles } from './files.ts'

const { values } = parseArgs({
  options: {
    /** Where to write; default: seed/examples. */
    to: { type: 'string', default: fileURLToPath(new URL('../../examples', import.meta.url)) },
    /** Up to when, ISO or `now`; default: the fixed end of the committed files. */
    until: { type: 'string' },
  },
})
const untilMs =
  values.until === undefined ? EXAMPLES_END_MS : values.until === 'now' ? Date.now() : Date.parse(values.until)
if (Number.isNaN(untilMs))
  throw new Error(`--until ${values.until} is not a time: write it as 2026-11-22T12:00:00Z, or now.`)

await mkdir(values.to, { recursive: true })
for (const { name, text } of exampleFiles(untilMs)) {
  await writeFile(join(values.to, name), text)
  console.log(`${join(values.to, name)}  ${Math.round(Buffer.byteLength(text) / 1024)} kB`)
}
