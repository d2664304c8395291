/** A machine as it is while it is typed: a bed whose heater has no power yet, and that nothing feeds. */
export const halfTyped = (ambient: string, more = '') => `machine M {
  ambient = ${ambient}
  mains = 230 V
  supply psu is supply_24v_350w
  bed {
    target = 100 degC
    plate {
      size = 200 mm x 200 mm
      material = aluminium
    }
    heater {
      voltage = 24 V
    }
  }
${more}}
`;
