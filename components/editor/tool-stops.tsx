'use client'
/** The tools as a row of stops. */
import { Stops } from '@/components/ui/stops'
import { type BenchTools, type ToolName, toolNames } from './use-bench-tools'

const words: Record<ToolName, string> = {
  mark: 'Mark',
  patch: 'Patch',
  distance: 'Distance',
  'leave-out': 'Leave out',
  shift: 'Shift',
  trace: 'Trace',
}

export function ToolStops({ tools }: { tools: BenchTools }) {
  return (
    <Stops
      label="Tools"
      value={tools.tool}
      onChange={tools.setTool}
      stops={toolNames.map((tool, index) => ({
        value: tool,
        spoken: words[tool],
        label: (
          <>
            <kbd>{index + 1}</kbd> {words[tool]}
          </>
        ),
      }))}
    />
  )
}

export const toolHints: Record<ToolName, string> = {
  mark: 'Press on the map or the photograph to set the points of a line, one after another. Enter keeps it, Esc gives it up.',
  patch: 'Set the corners of a patch, three or more. Enter keeps it.',
  distance: 'Press at one place, then at another. Nothing is written down.',
  'leave-out': 'On the photograph, set corners around what is not the journal: a rag, glare, the cheek in front. Enter keeps it.',
  trace:
    'On the map, tap one end of a crack, then the other: the line follows it. A tap beyond an end goes on, one beside the line pulls it over. Enter keeps it, Esc gives it up.',
  shift: 'Press on a mark to choose it. Drag it, or one of its points. Del drops the point or removes the mark.',
}
