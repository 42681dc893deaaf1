//! `service.c`: the roll call in the order of the test sheet.

use crate::fit::Unfit;
use crate::wiring_c::place;
use plan::Plan;
use rules::form::Form;

/// The source. That the outputs can be told apart in a byte, the limits have seen to.
pub(crate) fn service(plan: &Plan, form: &Form) -> Result<String, Unfit> {
    let output = |channel| place(plan, channel).map(|(byte, bit)| (byte * 8 + bit).to_string());
    let order = plan.channels.iter().map(output).collect::<Result<Vec<String>, Unfit>>()?;
    let list = if order.is_empty() { "0".to_owned() } else { order.join(", ") };
    Ok(include_str!("templates/service.c")
        .replace("@SECOND@", &1000_u32.div_ceil(form.tick_ms.max(1)).to_string())
        .replace("@CALLED@", &order.len().to_string())
        .replace("@ORDER@", &list))
}
