import type { FastifyInstance } from 'fastify'
import type { Context } from '../../app.ts'

export function registerSamples(_app: FastifyInstance, _context: Context) {}
