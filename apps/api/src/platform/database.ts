import { PrismaPg } from '@prisma/adapter-pg'
import pg from 'pg'
import { type Prisma, PrismaClient } from './prisma/client.ts'

// bigint counts fit a double here (2^53 rows are out of reach).
pg.types.setTypeParser(pg.types.builtins.INT8, Number)

/** One pool for hand-written SQL and for Prisma. */
export interface Database {
  pool: pg.Pool
  prisma: PrismaClient
  close(): Promise<void>
}

export type Queryable = Pick<pg.ClientBase, 'query'>
export type PrismaTransaction = Prisma.TransactionClient

/** Hand-written SQL inside a transaction of Prisma's. */
export const asQueryable = (tx: PrismaTransaction) =>
  ({
    query: async (text: string, values: unknown[] = []) => ({ rows: await tx.$queryRawUnsafe(text, ...values) }),
  }) as unknown as Queryable

/** @param onIdleError called when the server drops an idle connection; the pool replaces it by itself */
export function openDatabase(url: string, size: number, onIdleError: (error: Error) => void): Database {
  // JSON made in SQL carries times in the session's zone: UTC, like everything else that is stored
  const pool = new pg.Pool({
    connectionString: url,
    max: size,
    connectionTimeoutMillis: 10_000,
    options: '-c timezone=UTC',
  })
  pool.on('error', onIdleError)
  const prisma = new PrismaClient({ adapter: new PrismaPg(pool) })
  return {
    pool,
    prisma,
    async close() {
      await prisma.$disconnect()
      if (!pool.ended) await pool.end()
    },
  }
}

/** Runs the work in one transaction: all of it is stored or none. */
export async function inTransaction<Result>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<Result>,
): Promise<Result> {
  const client = await pool.connect()
  let broken: Error | undefined
  try {
    await client.query('BEGIN')
    const result = await work(client)
    await client.query('COMMIT')
    return result
  } catch (error) {
    await client.query('ROLLBACK').catch((failure: Error) => {
      broken = failure
    })
    throw error
  } finally {
    client.release(broken)
  }
}

/** Throws while the database is away; says whether it is migrated: both migrations have left their tables. */
export async function isMigrated(pool: pg.Pool): Promise<boolean> {
  const { rows } = await pool.query<{ there: boolean }>(
    `SELECT num_nulls(to_regclass('standing'), to_regclass('incident')) = 0 AS there`,
  )
  return rows[0]?.there === true
}
