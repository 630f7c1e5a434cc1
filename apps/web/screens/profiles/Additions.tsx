'use client'
import {
  EFFECT_WORDS,
  LIMIT_UNITS,
  type LimitedThing,
  type LimitRule,
  SANITIZER_SYSTEMS,
  USE_CLASSES,
} from '@sightglass/chemistry'
import { SelectField, TextField } from '../../shared/Field.tsx'
import { type System, unitOf } from '../../shared/measure.ts'
import { optionsOf, SANITIZER_WORDS, USE_CLASS_WORDS } from '../../shared/words.ts'
import { emptyAddition, type OwnAddition, THING_OPTIONS } from './editor.ts'

interface Given {
  additions: OwnAddition[]
  units: System
  errors: Record<string, string>
  parentName: string
  onChange: (additions: OwnAddition[]) => void
}

/** Limits that the parent does not have. They never make anything laxer: they come beside what is there. */
export function Additions({ additions, units, errors, parentName, onChange }: Given) {
  return (
    <section aria-labelledby="additions">
      <h2 id="additions">Limits of your own beside them</h2>
      <p>Where {parentName} has no limit of that kind: a tighter one that already sends a person, for example.</p>
      {additions.map((addition, index) => (
        <AdditionFields
          // biome-ignore lint/suspicious/noArrayIndexKey: they have nothing else that tells them apart
          key={index}
          index={index}
          addition={addition}
          units={units}
          errors={errors}
          onChange={(part) => onChange(additions.map((one, at) => (at === index ? { ...one, ...part } : one)))}
          onRemove={() => onChange(additions.filter((_, at) => at !== index))}
        />
      ))}
      <p className="buttons">
        <button type="button" className="button quiet" onClick={() => onChange([...additions, emptyAddition])}>
          Add a limit
        </button>
      </p>
    </section>
  )
}

const SIDES = [
  { value: 'max', label: 'at most' },
  { value: 'min', label: 'at least' },
]
const SETTINGS = [
  { value: 'indoor', label: 'indoor' },
  { value: 'outdoor', label: 'outdoor' },
]
const CYANURIC = [
  { value: 'with', label: 'with cyanuric acid' },
  { value: 'without', label: 'without' },
]

function AdditionFields({
  index,
  addition,
  units,
  errors,
  onChange,
  onRemove,
}: {
  index: number
  addition: OwnAddition
  units: System
  errors: Record<string, string>
  onChange: (part: Partial<OwnAddition>) => void
  onRemove: () => void
}) {
  const at = `addition.${index}`
  const unit = unitOf(LIMIT_UNITS[addition.thing], units).label
  return (
    <fieldset className="own-rule">
      <legend>Limit {index + 1}</legend>
      <div className="own-rule-row">
        <SelectField
          label="What"
          options={THING_OPTIONS}
          value={addition.thing}
          error={errors[`${at}.thing`]}
          onChange={({ target }) => onChange({ thing: target.value as LimitedThing })}
        />
        <SelectField
          label="Which side"
          options={SIDES}
          value={addition.side}
          onChange={({ target }) => onChange({ side: target.value as LimitRule['side'] })}
        />
        <TextField
          label={unit ? `Value, ${unit}` : 'Value'}
          inputMode="decimal"
          value={addition.value}
          error={errors[`${at}.value`]}
          onChange={({ target }) => onChange({ value: target.value })}
        />
        <SelectField
          label="Passing it means"
          options={optionsOf(EFFECT_WORDS)}
          value={addition.effect}
          onChange={({ target }) => onChange({ effect: target.value as LimitRule['effect'] })}
        />
      </div>
      <Choices
        legend="For which bodies of water (none chosen: all)"
        options={USE_CLASSES.map((value) => ({ value, label: USE_CLASS_WORDS[value] }))}
        chosen={addition.useClass}
        onChange={(useClass) => onChange({ useClass })}
      />
      <Choices
        legend="By which sanitizer (none chosen: all)"
        options={SANITIZER_SYSTEMS.map((value) => ({ value, label: SANITIZER_WORDS[value] }))}
        chosen={addition.sanitizerSystem}
        onChange={(sanitizerSystem) => onChange({ sanitizerSystem })}
      />
      <div className="own-rule-row">
        <SelectField
          label="Setting"
          empty="either"
          options={SETTINGS}
          value={addition.setting}
          onChange={({ target }) => onChange({ setting: target.value as OwnAddition['setting'] })}
        />
        <SelectField
          label="Cyanuric acid"
          empty="either"
          options={CYANURIC}
          value={addition.cyanuricAcid}
          onChange={({ target }) => onChange({ cyanuricAcid: target.value as OwnAddition['cyanuricAcid'] })}
        />
      </div>
      <TextField
        label="Why"
        value={addition.reason}
        error={errors[`${at}.reason`]}
        onChange={({ target }) => onChange({ reason: target.value })}
      />
      <TextField
        label="Whose limit it is"
        hint="The contract, your own standard, the maker of the finish …"
        value={addition.citation}
        error={errors[`${at}.citation`]}
        onChange={({ target }) => onChange({ citation: target.value })}
      />
      <p className="buttons">
        <button type="button" className="button quiet small" onClick={onRemove} aria-label={`Drop limit ${index + 1}`}>
          Drop this limit
        </button>
      </p>
    </fieldset>
  )
}

function Choices<Word extends string>({
  legend,
  options,
  chosen,
  onChange,
}: {
  legend: string
  options: { value: Word; label: string }[]
  chosen: Word[]
  onChange: (chosen: Word[]) => void
}) {
  return (
    <fieldset className="choices own-rule-choices">
      <legend>{legend}</legend>
      {options.map(({ value, label }) => (
        <label key={value}>
          <input
            type="checkbox"
            checked={chosen.includes(value)}
            onChange={({ target }) =>
              onChange(target.checked ? [...chosen, value] : chosen.filter((word) => word !== value))
            }
          />
          <span>{label}</span>
        </label>
      ))}
    </fieldset>
  )
}
