import pino, { type DestinationStream, type Logger } from 'pino'

/** The process's log: lines of JSON, without what is secret. */
export const makeLogger = (level: string, destination?: DestinationStream): Logger =>
  pino(
    {
      level,
      redact: [
        'authorization',
        'headers.authorization',
        'headers.cookie',
        'req.headers.authorization',
        'req.headers.cookie',
      ],
    },
    destination ?? pino.destination(1),
  )
