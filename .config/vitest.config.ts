import { defineConfig } from 'vitest/config'

const root = new URL('..', import.meta.url).pathname

const project = (name: string, extra: object = {}) => ({
  test: { name, root, include: [`tests/${name}/**/*.test.{ts,tsx}`], environment: 'node', ...extra },
})

export default defineConfig({
  root,
  test: {
    // starts PostgreSQL when one of the projects that run needs it
    globalSetup: [`${root}tests/support/postgres.global.ts`],
    projects: [
      project('chemistry'),
      project('contract'),
      project('web'),
      project('api', { testTimeout: 60_000, hookTimeout: 120_000, maxWorkers: 2 }),
      project('journeys', { testTimeout: 120_000, hookTimeout: 300_000, maxWorkers: 1 }),
      project('local', { testTimeout: 120_000, hookTimeout: 120_000, maxWorkers: 2 }),
      project('seed', { testTimeout: 120_000, hookTimeout: 300_000 }),
      project('scale', { testTimeout: 300_000, hookTimeout: 300_000, maxWorkers: 1 }),
    ],
  },
})
