import { readdirSync, readFileSync } from 'node:fs'
import { gzipSync } from 'node:zlib'
import { build } from 'esbuild'
import { describe, expect, it } from 'vitest'

const root = new URL('../..', import.meta.url).pathname
const MOST_BYTES = 40_000

const sourcesIn = (folder: string) =>
  readdirSync(`${root}${folder}`, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name) && !/(^|\/)(node_modules|\.next)\//.test(name))
    .map((name) => readFileSync(`${root}${folder}/${name}`, 'utf8'))

/** The values (types weigh nothing) that the browser's code takes from chemistry, itself or through the contract. */
function namesTaken(): string[] {
  const sources = [...sourcesIn('apps/web'), ...sourcesIn('packages/contract/src')]
  // a whole or late import would go uncounted
  for (const text of sources) expect(text).not.toMatch(/import(\(| \* as \w+ from )\s*'@sightglass\/chemistry'/)
  const lists = sources.flatMap((text) =>
    [...text.matchAll(/(?:import|export) \{([^}]*)\} from '@sightglass\/chemistry'/g)].map(([, list]) => list ?? ''),
  )
  const names = lists.flatMap((list) => list.split(',')).map((name) => name.trim())
  return [...new Set(names.filter((name) => name && !name.startsWith('type ')).map((name) => name.split(' ')[0] ?? ''))]
}

/** Bundled as for a browser: minified, what is not reached left out, then gzip. */
async function bundled(source: string): Promise<number> {
  const { outputFiles } = await build({
    stdin: { contents: source, resolveDir: `${root}apps/web` },
    bundle: true,
    minify: true,
    format: 'esm',
    write: false,
    logLevel: 'silent',
  })
  return gzipSync(outputFiles[0]?.contents ?? '', { level: 9 }).length
}

describe('what a browser loads of chemistry', () => {
  it('is under 40 kB gzipped', async () => {
    const names = namesTaken()
    expect(names).toContain('formatQuantity')
    const size = await bundled(`export { ${names.join(', ')} } from '@sightglass/chemistry'`)
    const whole = await bundled("export * from '@sightglass/chemistry'")
    console.log(`chemistry in the browser: ${size} bytes gzipped (${names.length} names); all of it: ${whole}`)
    expect(size).toBeGreaterThan(1000)
    expect(size).toBeLessThan(MOST_BYTES)
  })

  it('leaves out what nobody asks for', async () => {
    expect(await bundled("export { UNITS } from '@sightglass/chemistry'")).toBeLessThan(500)
  })
})
