import { describe, expect, it } from 'vitest'
import { readSettings } from '../../apps/local/src/settings.ts'

describe('readSettings', () => {
  it('needs nothing', () => {
    const settings = readSettings({ DATABASE_URL: 'postgresql://me@db.example.test/pools' })
    expect(settings).toMatchObject({ host: '127.0.0.1', webPort: 4400, apiPort: 4401, demo: true })
    expect(settings.dataFolder).toMatch(/\.data$/)
  })

  it('takes ports, folder and demo from the environment', () => {
    const env = {
      SIGHTGLASS_PORT: '5000',
      SIGHTGLASS_API_PORT: '5001',
      SIGHTGLASS_DATA: '/srv/pools',
      SIGHTGLASS_DEMO: 'off',
    }
    expect(readSettings(env)).toMatchObject({ webPort: 5000, apiPort: 5001, dataFolder: '/srv/pools', demo: false })
  })

  it.each([
    [{ SIGHTGLASS_PORT: '80a' }, /SIGHTGLASS_PORT is "80a", which is no port/],
    [{ SIGHTGLASS_PORT: '0' }, /no port/],
    [{ SIGHTGLASS_API_PORT: '70000' }, /SIGHTGLASS_API_PORT is "70000"/],
    [{ SIGHTGLASS_PORT: '4401' }, /both 4401/],
    [{ SIGHTGLASS_DEMO: 'perhaps' }, /SIGHTGLASS_DEMO is "perhaps"/],
    [{ DATABASE_URL: 'mysql://me@db.example.test/pools' }, /does not name a PostgreSQL database/],
    [{ DATABASE_URL: 'postgresql://db.example.test' }, /does not name a PostgreSQL database/],
    [{ DATABASE_URL: 'db.example.test:5432' }, /does not name a PostgreSQL database/],
  ])('refuses %o', (env, message) => {
    expect(() => readSettings({ SIGHTGLASS_DATA: '/srv/pools', ...env })).toThrow(message)
  })

  it('never repeats a password that it was given', () => {
    const env = { DATABASE_URL: 'postgres//me:secret@db.example.test/pools' }
    expect(() => readSettings(env)).toThrow(expect.not.stringContaining('secret'))
  })
})
