//! The brown-out level that the project's Makefile writes.

use players::host::folder;
use players::script::fox;
use players::tools::{command, run, write};

/// BODLEVEL2:0 = 100 is 4.3 V (data sheet, "BODLEVEL Fuse Coding"; from memory): levels 1 and 0 programmed, so 0, and the
/// unused bits 1. Where the three bits stand, avr-libc's header of the chip says.
#[test]
fn the_makefile_sets_the_brown_out_level_to_4_3_volts() {
    let (plan, form) = fox();
    let folder = folder();
    let project = firmware::project(&plan, &form).unwrap();
    write(&folder.path().join("Makefile"), &project["Makefile"]);
    let written = run(command("make").current_dir(folder.path()).args(["-n", "fuses", "ISP=kind"]));
    let value = written.split("efuse:w:").nth(1).and_then(|rest| rest.split(':').next()).unwrap();
    assert!(written.contains("-c kind "), "{written}");
    let wanted = "#include <avr/io.h>\nunsigned char fuse = FUSE_BODLEVEL1 & FUSE_BODLEVEL0;\n";
    write(&folder.path().join("fuse.c"), wanted);
    run(command("avr-gcc").current_dir(folder.path()).args(["-mmcu=atmega328p", "-c", "fuse.c"]));
    run(command("avr-objcopy")
        .current_dir(folder.path())
        .args(["-O", "binary", "-j", ".data", "fuse.o", "fuse.bin"]));
    let bytes = run(command("od").current_dir(folder.path()).args(["-An", "-tx1", "fuse.bin"]));
    assert_eq!(value.to_lowercase(), format!("0x{}", bytes.trim()));
    assert!(project["README.txt"].contains("make fuses"));
}
