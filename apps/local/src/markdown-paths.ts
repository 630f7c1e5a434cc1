// Fails on a path in Markdown that leads nowhere: a link, or a path in `code` that begins with one of our folders.
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { repository } from './settings.ts'

export interface DeadPath {
  line: number
  path: string
}

const inCode = /`((?:apps|packages|prisma|seed|tests|docs|\.config|\.ci)\/[^`\s]*)`/g
const link = /\]\(([^)\s]+)\)/g

export function deadPaths(markdown: string, file: string, root = repository): DeadPath[] {
  const dead: DeadPath[] = []
  const lines = markdown.split('\n')
  for (const [index, text] of lines.entries()) {
    for (const [, path = ''] of text.matchAll(link)) {
      if (/^[a-z]+:/i.test(path)) continue
      const [target = '', heading] = path.split('#')
      const leadsTo = target ? resolve(root, dirname(file), decodeURI(target)) : resolve(root, file)
      const there = existsSync(leadsTo) && (!heading || !leadsTo.endsWith('.md') || hasHeading(leadsTo, heading))
      if (!there) dead.push({ line: index + 1, path })
    }
    for (const [, path = ''] of text.matchAll(inCode)) {
      // `tests/<kind>/*.ts` names many: what stands before the first placeholder must be there
      const fixed = path.split(/[<*{…:]/)[0] ?? ''
      const certain = fixed === path ? path : fixed.slice(0, fixed.lastIndexOf('/') + 1)
      if (!existsSync(join(root, certain))) dead.push({ line: index + 1, path })
    }
  }
  return dead
}

function hasHeading(file: string, anchor: string): boolean {
  const headings = readFileSync(file, 'utf8').matchAll(/^#+\s+(.*)$/gm)
  return [...headings].some(([, text = '']) => slug(text) === anchor)
}

const slug = (heading: string) =>
  heading
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s_-]/gu, '')
    .trim()
    .replaceAll(' ', '-')

function markdownFiles(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    if (['node_modules', '.git', '.next', '.data'].includes(entry.name)) return []
    const path = join(folder, entry.name)
    if (entry.isDirectory()) return markdownFiles(path)
    return entry.name.endsWith('.md') ? [path] : []
  })
}

function main() {
  const files = markdownFiles(repository).map((path) => relative(repository, path))
  const dead = files.flatMap((file) =>
    deadPaths(readFileSync(join(repository, file), 'utf8'), file).map(({ line, path }) => `${file}:${line}  ${path}`),
  )
  console.log(dead.length ? `These lead nowhere:\n${dead.join('\n')}` : `${files.length} files, every path is there`)
  process.exitCode = dead.length ? 1 : 0
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) main()
