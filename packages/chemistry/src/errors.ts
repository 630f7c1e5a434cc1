/** A number outside what an equation was made for. Never NaN, never a silent clamp: whoever calls decides what to do. */
export class OutOfRange extends Error {
  override readonly name = 'OutOfRange'
  readonly quantity: string
  readonly value: number
  readonly min: number
  readonly max: number

  constructor(quantity: string, value: number, min: number, max: number) {
    super(`${quantity} ${value} is outside ${min} to ${max}`)
    this.quantity = quantity
    this.value = value
    this.min = min
    this.max = max
  }
}

/** Returns the value when min ≤ value ≤ max, else throws `OutOfRange` (also for NaN). */
export function within(quantity: string, value: number, min: number, max: number): number {
  if (!(value >= min && value <= max)) throw new OutOfRange(quantity, value, min, max)
  return value
}

/** Null in place of what lies outside what the equations were made for. */
export function inRange<T>(reckon: () => T): T | null {
  try {
    return reckon()
  } catch (error) {
    if (error instanceof OutOfRange) return null
    throw error
  }
}

/** A company profile names a rule that its parent does not have. */
export class UnknownRule extends Error {
  override readonly name = 'UnknownRule'
  readonly ruleKey: string

  constructor(ruleKey: string, parentKey: string, known: readonly string[]) {
    super(`The profile ${parentKey} has no rule ${ruleKey}. Its rules are: ${known.join(', ')}.`)
    this.ruleKey = ruleKey
  }
}

/** A company's own value that no rule of its kind can take: not a number, or a negative concentration or interval. */
export class BadRuleValue extends Error {
  override readonly name = 'BadRuleValue'
  readonly ruleKey: string

  constructor(ruleKey: string, value: number, why: string) {
    super(`The rule ${ruleKey} cannot be ${value}: ${why}.`)
    this.ruleKey = ruleKey
  }
}

/** A company adds a limit where its parent has one for some of the same bodies: that one is to be changed instead. */
export class RuleThere extends Error {
  override readonly name = 'RuleThere'
  /** Which of the additions, from 0. */
  readonly index: number
  readonly ruleKey: string

  constructor(index: number, ruleKey: string) {
    super(`The rule ${ruleKey} is about the same already: change that one instead of adding another.`)
    this.index = index
    this.ruleKey = ruleKey
  }
}
