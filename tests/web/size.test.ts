import { readdirSync } from 'node:fs'
import { gzipSync } from 'node:zlib'
import { minify } from '@swc/core'
import { type BuildOptions, build, type Plugin } from 'esbuild'
import { describe, expect, it } from 'vitest'

const root = new URL('../..', import.meta.url).pathname
const web = `${root}apps/web`
const MOST_BYTES = 40_000

const ownCodeOnly: Plugin = {
  name: 'own code only',
  setup: ({ onResolve }) =>
    onResolve({ filter: /^[^.]/ }, ({ path, kind }) =>
      kind === 'entry-point' || path === '@sightglass/contract' ? undefined : { path, external: true },
    ),
}

/** What is left of a source when what it does not reach is left out. */
async function bundled(given: BuildOptions): Promise<string> {
  const { outputFiles } = await build({
    ...given,
    bundle: true,
    format: 'esm',
    charset: 'utf8',
    jsx: 'automatic',
    loader: { '.css': 'empty' },
    write: false,
    logLevel: 'silent',
  })
  return outputFiles?.[0]?.text ?? ''
}

/** Minified as the web app is built, then gzip. */
async function sizeOf(names: Iterable<string>): Promise<number> {
  const contents = `export { ${[...new Set(names)].join(', ')} } from '@sightglass/chemistry'`
  const { code } = await minify(await bundled({ stdin: { contents, resolveDir: web } }), {
    module: true,
    compress: true,
    mangle: true,
  })
  return gzipSync(code, { level: 9 }).length
}

/** What a page takes of chemistry, itself or through the contract. What only its server uses is counted too. */
async function namesOf(page: string): Promise<string[]> {
  const text = await bundled({ entryPoints: [`${web}/${page}`], plugins: [ownCodeOnly] })
  // a whole or late import would go uncounted
  expect(text).not.toMatch(/import(\(| \* as \w+ from )\s*"@sightglass\/chemistry"/)
  const lists = [...text.matchAll(/import \{([^}]*)\} from "@sightglass\/chemistry"/g)].map(([, list]) => list ?? '')
  return lists.flatMap((list) => list.split(',')).map((name) => name.trim().split(' ')[0] ?? '')
}

describe('what a browser loads of chemistry', () => {
  it('is under 40 kB gzipped on every page', async () => {
    const pages = readdirSync(`${web}/app`, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('page.tsx'))
      .map((name) => `app/${name}`)
      .sort()
    const all = new Set<string>()
    const sizes: [page: string, bytes: number][] = []
    for (const page of pages) {
      const names = await namesOf(page)
      for (const name of names) all.add(name)
      sizes.push([page, await sizeOf(names)])
    }
    console.log(sizes.map(([page, bytes]) => `${bytes}  ${page}`).join('\n'))
    console.log(`${await sizeOf(all)}  all pages together`)
    expect(all).toContain('formatQuantity')
    for (const [page, bytes] of sizes) expect(bytes, page).toBeLessThan(MOST_BYTES)
  }, 60_000)

  it('leaves out what nobody asks for', async () => {
    expect(await sizeOf(['UNITS'])).toBeLessThan(500)
  })
})
