// The lists of the code and the check constraints of the database are the same.
import { readdirSync, readFileSync } from 'node:fs'
import {
  DRUM_CONTENTS,
  FEEDER_KINDS,
  FEEDER_ROLES,
  FINDING_KINDS,
  FINDING_SEVERITIES,
  INCIDENT_KINDS,
  PARAMETERS,
  QUANTITIES,
  SANITIZER_SYSTEMS,
  SETTINGS,
  SEVERITIES,
  USE_CLASSES,
} from '@sightglass/chemistry'
import { finding, IMPORT_STATES, METHODS, severity, WORK_KINDS } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'

const folder = new URL('../../prisma/migrations/', import.meta.url)
const sql = readdirSync(folder, { withFileTypes: true })
  .filter((entry) => entry.isDirectory())
  .map(({ name }) => readFileSync(new URL(`${name}/migration.sql`, folder), 'utf8'))
  .join('\n')

const tableText = (table: string) => new RegExp(`CREATE TABLE ${table} \\(([\\s\\S]*?)\\n\\)`).exec(sql)?.[1] ?? ''
/** The words that a column's check allows; a later migration may have put another check in its place. */
const allowed = (table: string, column: string) => {
  const words = new RegExp(`${column} IN \\(([^)]*)\\)`)
  const later = new RegExp(`ADD CONSTRAINT ${table}_${column}_check\\s+CHECK \\((.*?)\\);`, 's').exec(sql)?.[1]
  const check = words.exec(later ?? tableText(table))?.[1] ?? ''
  return [...check.matchAll(/'([^']*)'/g)].map(([, word]) => word)
}
const columnsOf = (table: string) =>
  [...tableText(table).matchAll(/(?:^|,)\s+([a-z_0-9]+)\s+(?:double|real|boolean|text|uuid|timestamptz|integer)/g)].map(
    ([, name]) => name,
  )
const columnOf = (key: string) => key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)

describe('what a column may hold is what the code knows', () => {
  it.each([
    ['body', 'use_class', USE_CLASSES],
    ['body', 'setting', SETTINGS],
    ['body', 'sanitizer_system', SANITIZER_SYSTEMS],
    ['channel', 'quantity', QUANTITIES],
    ['drum', 'content', DRUM_CONTENTS],
    ['feeder', 'role', FEEDER_ROLES],
    ['feeder', 'kind', FEEDER_KINDS],
    ['reading', 'method', METHODS],
    ['import', 'state', IMPORT_STATES],
    ['work', 'kind', WORK_KINDS],
    ['incident_version', 'kind', INCIDENT_KINDS],
    ['standing', 'severity', SEVERITIES],
    ['finding', 'severity', FINDING_SEVERITIES],
  ] as const)('%s.%s', (table, column, words) => {
    expect([...allowed(table, column)].sort()).toEqual([...words].sort())
  })

  it('a reading has a column for every parameter, a sample for every quantity', () => {
    expect(columnsOf('reading')).toEqual(expect.arrayContaining(PARAMETERS.map(columnOf)))
    expect(columnsOf('sample')).toEqual(['body_id', 'at', ...QUANTITIES.map(columnOf)])
  })

  it('every parameter can be looked up by its newest value', () => {
    for (const parameter of PARAMETERS) expect(sql).toContain(`CREATE INDEX reading_${columnOf(parameter)}_idx`)
  })

  it('answers name the same severities and kinds', () => {
    expect(severity.options).toEqual([...SEVERITIES])
    expect(finding.shape.kind.options).toEqual(Object.keys(FINDING_KINDS))
  })
})
