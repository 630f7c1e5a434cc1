import { defineConfig } from 'vitest/config'

const root = new URL('..', import.meta.url).pathname

const project = (name: string, extra: object = {}) => ({
  test: { name, root, include: [`tests/${name}/**/*.test.{ts,tsx}`], environment: 'node', ...extra },
})

export default defineConfig({
  test: {
    projects: [
      project('chemistry'),
      project('contract'),
      project('web'),
      project('api', { testTimeout: 60_000, hookTimeout: 120_000, maxWorkers: 2 }),
      project('journeys', { testTimeout: 120_000, hookTimeout: 300_000, maxWorkers: 1 }),
      project('scale', { testTimeout: 300_000, hookTimeout: 300_000, maxWorkers: 1 }),
    ],
  },
})
