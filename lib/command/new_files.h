#ifndef TAREWISE_LIB_COMMAND_NEW_FILES_H_
#define TAREWISE_LIB_COMMAND_NEW_FILES_H_

#include <string>
#include <vector>

#include "command/console.h"
#include "tarewise/documents/load.h"

namespace tarewise::command {

/// Files that are written together into a folder: all of them, or none. Nothing that is there is ever overwritten.
class NewFiles {
 public:
  /// `command` stands before what is said.
  NewFiles(std::string command, std::string folder) : command_(std::move(command)), folder_(std::move(folder)) {}

  /// Adds a file under `file.name`, a name without a folder. The last one takes its name last. `advice`: what to do
  /// where the name is taken.
  void Add(SourceText file, std::string advice) {
    files_.push_back(std::move(file));
    advices_.push_back(std::move(advice));
  }
  const std::vector<SourceText>& files() const { return files_; }
  /// False, and an error for each, where a name is taken, or the folder is none.
  bool AllNew(const Console& console) const;
  /// Makes the folder where there is none, and writes. False after an error, which is said; then nothing is left.
  bool Write(const Console& console);

  /// The path of a file of the folder.
  std::string PathOf(const std::string& name) const;

 private:
  bool Say(const Console& console, const std::string& what) const;
  bool WriteParts(const Console& console);
  bool TakeNames(const Console& console);
  void Remove() const;

  std::string command_;
  std::string folder_;
  std::vector<SourceText> files_;
  std::vector<std::string> advices_;  // by file
  std::vector<std::string> parts_;    // by file
  std::vector<std::string> made_;
  bool made_folder_ = false;
};

/// Whether two paths lead to one file.
bool SameFile(const std::string& a, const std::string& b);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_NEW_FILES_H_
