/** Stored rows hold dates, answers hold text: the same thing with every date written as ISO 8601. */
export type Shown<Row> = {
  [Key in keyof Row]: Row[Key] extends Date ? string : Row[Key] extends Date | null ? string | null : Row[Key]
}

export const show = <Row extends object>(row: Row): Shown<Row> =>
  Object.fromEntries(
    Object.entries(row).map(([key, value]) => [key, value instanceof Date ? value.toISOString() : value]),
  ) as Shown<Row>
