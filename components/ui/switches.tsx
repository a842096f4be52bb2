'use client'
/** The two switches of the head: mm or inch, bright or dim. */
import { setLight, setUnits, usePreferences } from './preferences'
import { Stops } from './stops'

export function UnitsSwitch() {
  const { units } = usePreferences()
  return (
    <Stops
      label="Units"
      value={units}
      onChange={setUnits}
      stops={[
        { value: 'mm', label: 'mm', spoken: 'millimetres' },
        { value: 'in', label: 'inch' },
      ]}
    />
  )
}

export function LightSwitch() {
  const { light } = usePreferences()
  return (
    <Stops
      label="Light"
      value={light}
      onChange={setLight}
      stops={[
        { value: 'bright', label: 'Bright' },
        { value: 'dim', label: 'Dim' },
      ]}
    />
  )
}
